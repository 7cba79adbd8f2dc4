package browser

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"

	"loopwitness/commission/kit/readfile"
)

const (
	// axeFile is the environment variable with the path of axe.min.js, of axe-core.
	axeFile  = "LOOPWITNESS_AXE"
	required = "LOOPWITNESS_OUTSIDE_TOOLS"
	// longestAxe is more than axe-core has, in bytes.
	longestAxe = 4 << 20
)

// axe is the source of axe-core. Where it is not installed the test is skipped, or fails
// as outsidetool says.
func axe(t testing.TB) string {
	t.Helper()
	path := os.Getenv(axeFile)
	source, err := readfile.All(path, longestAxe)
	switch {
	case err == nil:
		return string(source)
	case os.Getenv(required) != "":
		t.Fatalf("%s: axe-core is needed here: %v", axeFile, err)
	}
	t.Skipf("%s names no axe.min.js: %v", axeFile, err)
	return ""
}

// Axe is what axe-core finds wrong with the screen, against WCAG 2.2 A and AA and its own
// best practices; where rules are named, by those alone.
func (p *Phone) Axe(rules ...string) []string {
	p.t.Helper()
	options := `{resultTypes: ['violations']}`
	if len(rules) > 0 {
		options = `{resultTypes: ['violations'], runOnly: {type: 'rule', values: ` + JSON(rules) + `}}`
	}
	source := axe(p.t)
	if !Eval[bool](p, `Boolean(window.axe)`) {
		if _, err := p.evaluate(`(() => { const module = undefined; ` + source + `; return true; })()`); err != nil {
			p.t.Fatalf("axe-core does not run: %v", err)
		}
	}
	found := Eval[struct {
		Violations []struct {
			ID, Help string
			Nodes    []struct{ HTML, FailureSummary string }
		}
		Passes int
	}](p, `axe.run(document, `+options+`).then((r) => ({Violations: r.violations.map((v) => ({ID: v.id,
		Help: v.help, Nodes: v.nodes.map((n) => ({HTML: n.html, FailureSummary: n.failureSummary}))})), Passes: r.passes.length}))`)
	if found.Passes == 0 {
		p.t.Error("axe-core has looked at nothing")
	}
	var all []string
	for _, v := range found.Violations {
		for _, n := range v.Nodes {
			all = append(all, fmt.Sprintf("%s: %s: %.300s: %s", v.ID, v.Help, n.HTML, n.FailureSummary))
		}
	}
	return all
}

// Small are the targets of a touch that are under 44 CSS pixels in either direction.
func (p *Phone) Small() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...document.querySelectorAll('button, input, select, a, [role=button]')].filter((e) => {
		const b = e.getBoundingClientRect();
		return b.width > 1 && b.height > 1 && (b.width < 43.9 || b.height < 43.9);
	}).map((e) => { const b = e.getBoundingClientRect(); return e.outerHTML.slice(0, 120) + ' ' + b.width + '×' + b.height; })`)
}

// Sideways are the elements that stand out of the screen to the side, and the page itself if
// it can be scrolled there.
func (p *Phone) Sideways() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...(document.documentElement.scrollWidth > innerWidth ? ['the page: ' +
		document.documentElement.scrollWidth] : []), ...[...document.querySelectorAll('body *')].filter((e) => {
		const b = e.getBoundingClientRect();
		return b.width > 1 && (b.right > innerWidth + 1 || b.left < -1);
	}).map((e) => e.outerHTML.slice(0, 160))]`)
}

// Cut are texts that do not have room where they stand, and are hidden in part.
func (p *Phone) Cut() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...document.querySelectorAll('body *')].filter((e) => {
		const of = getComputedStyle(e), b = e.getBoundingClientRect();
		const hides = of.overflowX !== 'visible' || of.overflowY !== 'visible' || e.tagName === 'BUTTON';
		return hides && of.overflowY !== 'auto' && of.overflowY !== 'scroll' && b.width > 1 && e.textContent &&
			(e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1);
	}).map((e) => e.outerHTML.slice(0, 160))`)
}

// Torn are words of buttons that go on in the next line without a hyphen.
func (p *Phone) Torn() []string {
	p.t.Helper()
	return Eval[[]string](p, `[...document.querySelectorAll('button')].flatMap((e) => {
		const all = [], nodes = document.createTreeWalker(e, NodeFilter.SHOW_TEXT);
		for (let n = nodes.nextNode(); n; n = nodes.nextNode()) {
			for (const m of n.data.matchAll(/[^\s-]+/g)) {
				if (m[0].includes('\u00ad')) continue;
				const r = document.createRange();
				r.setStart(n, m.index);
				r.setEnd(n, m.index + m[0].length);
				if (new Set([...r.getClientRects()].map((b) => Math.round(b.top))).size > 1) all.push(m[0]);
			}
		}
		return all;
	})`)
}

// Errors are what the console has told since the script of RecordErrors ran.
func (p *Phone) Errors() []string {
	p.t.Helper()
	return Eval[[]string](p, `window.wrong ?? []`)
}

// RecordErrors keeps errors of scripts, and breaches of the content security policy.
func (p *Phone) RecordErrors() {
	p.t.Helper()
	p.Before(`window.wrong = [];
		addEventListener('error', (e) => wrong.push(String(e.message)));
		addEventListener('unhandledrejection', (e) => wrong.push(String(e.reason)));
		document.addEventListener('securitypolicyviolation', (e) => wrong.push(e.violatedDirective + ' ' + e.blockedURI));`)
}

// JSON is a value as JavaScript has it.
func JSON(v any) string {
	data, err := json.Marshal(v)
	if err != nil {
		panic(err) // values of tests
	}
	return string(data)
}
