//go:build unix

package main

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/outsidetool"
)

const hookSecret, hookToken = "kiln-s3cret-passphrase", "kiln-s3cret-token"

// pottery is a job folder whose controller speaks HTTP: it calls, answers, and switches its siren.
type pottery struct {
	studio
	at     string // where the program listens
	server *httptest.Server
	states map[int]string
}

func newPottery(t *testing.T) *pottery {
	t.Helper()
	p := &pottery{
		studio: studio{t: t, dir: t.TempDir()},
		at:     freeaddress.Of(t),
		states: map[int]string{1: "closed", 2: "closed"},
	}
	p.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p.mu.Lock()
		defer p.mu.Unlock()
		if r.URL.Path == "/status" {
			_, _ = fmt.Fprintf(w, `{"zones":{"1":%q,"2":%q}}`, p.states[1], p.states[2])
			return
		}
		body, _ := io.ReadAll(r.Body)
		p.siren = append(p.siren, string(body))
	}))
	t.Cleanup(p.server.Close)
	p.write("site.yaml", `
reference: MQ-9
premises: {name: Glaze Works, address: 3 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: network controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Shop door, kind: door, wiring: normally closed, address: z1, detectors: [Door contact]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Left]}
outputs:
  - {name: Sounder, kind: sounder, address: siren}
`)
	p.write("checklist-handover.yaml",
		"inspection:\n  - {id: told, text: Everybody knows}\nhandover:\n  - {id: shown, text: The user was shown}\n")
	p.write("answers.yaml", `
answers:
  - {when: "*/voltage", say: 13.6 V}
  - {when: supply/voltmeter, say: meter}
  - {when: supply/voltmeter/*, say: ""}
  - {when: inspection/*, say: done}
  - {when: list/walk-test/*, say: rest}
  - {when: energise/unguarded, say: "yes"}
  - {when: "*/energise", say: "yes"}
  - {when: "*/heard", say: "yes"}
  - {when: outputs/Sounder, say: energise}
  - {when: alarm, say: not tested}
  - {when: "alarm/*", say: not tested}
  - {when: hand-over/*, say: done}
  - {when: sign-off/technician, say: sign}
  - {when: sign-off/customer, say: accept}
  - {when: sign-off/customer/drawing, say: ""}
  - {when: sign-off/*, say: Ignace}
`)
	return p
}

const statesOfPottery = `active: open, restored: closed`

func (p *pottery) listens(how string) {
	p.t.Helper()
	outputs := fmt.Sprintf("\nhttp:\n  outputs:\n    - {address: siren, url: %q, \"on\": \"1\", \"off\": \"0\"}\n",
		p.server.URL+"/siren")
	if how == "webhook" {
		p.write("controller.yaml", fmt.Sprintf("listen: webhook\nwebhook:\n  at: %s\n  secret: %s\n  token: %s\n  signals:\n"+
			"    - {path: /zone/+, address: \"z{1}\", value: /state, %s}\n", p.at, hookSecret, hookToken, statesOfPottery)+outputs)
		return
	}
	p.write(
		"controller.yaml",
		fmt.Sprintf("listen: poll\npoll:\n  url: %q\n  every: 0.2 s\n  timeout: 0.3 s\n  signals:\n"+
			"    - {address: z1, value: /zones/1, %s}\n    - {address: z2, value: /zones/2, %s}\n", p.server.URL+"/status",
			statesOfPottery, statesOfPottery)+outputs,
	)
}

// moves opens or closes a zone, and calls the program where that listens.
func (p *pottery) moves(zone int, state string, calls bool) {
	p.t.Helper()
	p.mu.Lock()
	p.states[zone] = state
	p.mu.Unlock()
	if calls {
		assert.Equal(p.t, http.StatusNoContent, p.call(hookToken, fmt.Sprintf("/%s/zone/%d", hookSecret, zone),
			fmt.Sprintf(`{"state":%q}`, state)))
	}
}

// cued waits until the visit has given so many cues.
func (p *pottery) cued(c *console, n int) {
	p.t.Helper()
	require.Eventually(p.t, func() bool {
		journals, _ := filepath.Glob(filepath.Join(p.dir, "visits", "*", "journal.jsonl"))
		if len(journals) != 1 {
			return false
		}
		text, _ := os.ReadFile(journals[0])
		return strings.Count(string(text), `"kind":"cue"`) >= n
	}, 20*time.Second, 10*time.Millisecond, "cue %d: %s", n, lateText{c})
	time.Sleep(100 * time.Millisecond) // as a hand takes: a cue counts from when it was told
}

func (p *pottery) call(token, path, body string) int {
	p.t.Helper()
	return callHook(p.t, "http://"+p.at+path, token, body)
}

// callHook is a controller's call, and the status of the answer.
func callHook(t *testing.T, url, token, body string) int {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, url, strings.NewReader(body))
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+token)
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	_ = answer.Body.Close()
	return answer.StatusCode
}

// A whole visit in a terminal, from the first word to the certificate, with a controller that calls, and
// with one that is asked.
func TestVisitOverHTTP(t *testing.T) {
	for how, says := range map[string][]string{
		"webhook": {"How times were taken: the controller’s calls over HTTP (web hook), by the computer",
			"A message arrived when its first byte was read."},
		"poll": {"How times were taken: the controller’s answers over HTTP (polling), by the computer", "uncertainty ± 0.55 s",
			"at most 0.50 s too late", "What came and went between two questions is not seen."},
	} {
		t.Run(how, func(t *testing.T) {
			p := newPottery(t)
			p.listens(how)
			calls := how == "webhook"
			c := startConsole(t, 100, "visit", "start", "--kind", "handover", "--job", p.dir, "--answers",
				filepath.Join(p.dir, "answers.yaml"))
			for zone := range 2 {
				p.cued(c, 2*zone+1)
				p.moves(zone+1, "open", calls)
				p.cued(c, 2*zone+2)
				p.moves(zone+1, "closed", calls)
				c.expect(fmt.Sprintf("%d.1 proved", zone+1))
			}
			c.exit(0)
			assert.Equal(t, []string{"1", "0"}, p.sirenHeard())
			out, err := runHere(t, "visit", "show", "--job", p.dir)
			require.NoError(t, err, out)
			assert.Regexp(t, `1\.1 .* 1 .*proved`, out)
			assert.Regexp(t, `2\.1 .* 2 .*proved`, out)
			out, err = runHere(t, "certify", "--job", p.dir)
			require.NoError(t, err, out)
			pages, err := filepath.Glob(filepath.Join(p.dir, "certificates", "*.pdf"))
			require.NoError(t, err)
			require.Len(t, pages, 1)
			out, _ = runHere(t, "verify", pages[0]) // it is not signed
			assert.Regexp(t, "Follows +holds", out)
			assert.Regexp(t, "Shown +holds", out)
			text, err := exec.Command(outsidetool.Find(t, "pdftotext"), pages[0], "-").Output()
			require.NoError(t, err)
			for _, line := range says {
				assert.Contains(t, strings.Join(strings.Fields(string(text)), " "), line)
			}
			p.noSecretAnywhere()
			assert.NotContains(t, c.raw.String(), "s3cret")
		})
	}
}

// What calls say is shown live, and what came and what did not in the end; secrets never where it is
// kept.
func TestListenAndCheckOverHTTP(t *testing.T) {
	p := newPottery(t)
	p.listens("webhook")
	hear := func(words ...string) string {
		cmd := exec.Command(os.Args[0], append(words, "--job", p.dir, "--for", "1500ms")...)
		cmd.Env = append(os.Environ(), runSelf+"=1")
		var out notebook
		cmd.Stdout, cmd.Stderr = &out, &out
		require.NoError(t, cmd.Start())
		require.Eventually(
			t,
			func() bool { return strings.Contains(out.String(), "To try it") },
			10*time.Second,
			10*time.Millisecond,
			"%s",
			&out,
		)
		p.moves(1, "open", true)
		p.moves(1, "open", true)
		p.call(hookToken, "/"+hookSecret+"/zone/1", `{"state":"ajar"}`)
		p.call(hookToken, "/"+hookSecret+"/zone/9", `{"state":"open"}`)
		p.call(hookToken, "/"+hookSecret+"/other", `{"state":"open"}`)
		p.call("guess", "/"+hookSecret+"/zone/1", `{"state":"open"}`)
		p.call(hookToken, "/guess/zone/1", `{"state":"open"}`)
		_ = cmd.Wait()
		assert.NotContains(t, out.String(), "s3cret")
		return strings.Join(strings.Fields(out.String()), " ")
	}
	check := hear("site", "check", "--connect")
	live := hear("listen")
	for _, out := range []string{check, live} {
		for _, line := range []string{"curl --include --header 'Authorization: Bearer TOKEN' --header 'Content-Type: " +
			`application/json' --data '{"state":"open"}' 'http://` + p.at + "/SECRET/zone/1'",
			"7 calls: 4 kept, of them 1 that said again what was said.", "2 calls with a wrong token or secret",
			"1 paths that no rule of controller.yaml is about: /other (1)",
			`/zone/1 said "{\"state\":\"ajar\"}", which controller.yaml does not know`,
			"1 addresses that no zone of site.yaml has: z9 (1)", "Zones from which something came: 1",
			"Zones from which nothing came: 2"} {
			assert.Contains(t, out, line)
		}
	}
	for _, line := range []string{`z1 active /zone/1 {"state":"open"}`, "z9 (no zone has it) active", "z1 NOT UNDERSTOOD",
		"z1 active, kept from before", "REFUSED 404 no rule of controller.yaml is about this path /other"} {
		assert.Contains(t, live, line)
	}
	assert.Contains(t, check, "Sounder – IT STAYS ON: an HTTP request has no last will")

	p.listens("poll")
	asked, _ := runHere(t, "site", "check", "--connect", "--job", p.dir, "--for", "600ms")
	for _, line := range []string{"z1 /zones/1 active 0", "z2 /zones/2 restored 0", "A report is seen up to 0.5 s late"} {
		assert.Contains(t, strings.Join(strings.Fields(asked), " "), line)
	}
	asked, err := runHere(t, "listen", "--job", p.dir, "--for", "600ms")
	assert.NoError(t, err)
	assert.Contains(t, asked, "z1          active")
	p.server.Close()
	asked, err = runHere(t, "site", "check", "--connect", "--job", p.dir, "--for", "600ms")
	assert.Error(t, err)
	assert.Contains(t, asked, "nothing listens at this port")
}

// lateText is what a screen says when it is asked.
type lateText struct{ c *console }

func (l lateText) String() string { return l.c.text() }
