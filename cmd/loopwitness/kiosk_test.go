//go:build unix

package main

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
)

const kioskSite = `
reference: MQ-9
premises: {name: Glaze Kiosk, address: 5 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: network controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Shop door, kind: door, wiring: normally closed, address: z01, detectors: [Door contact]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z02, detectors: [Window contact]}
  - {number: 3, name: Hatch, kind: window, wiring: normally closed, address: z03, detectors: [Hatch contact]}
outputs:
  - {name: Sounder, kind: sounder, address: sounder, location: yard}
`

// newKiosk is a building with three detectors and a sounder: its visit takes seconds.
func newKiosk(t *testing.T) *building {
	t.Helper()
	t.Parallel() // such a visit waits most of the time
	if outsidetool.Racing {
		t.Skip("the browser is what is slow here")
	}
	b := newBuilding(t)
	b.write("site.yaml", kioskSite)
	b.write("controller.yaml", b.listens()+"  outputs:\n"+
		"    - {address: sounder, topic: studio/out/sounder, on: \"ON\", off: \"OFF\"}\n")
	b.write("checklist-handover.yaml",
		"inspection:\n  - {id: told, text: Everybody knows}\nhandover:\n  - {id: shown, text: The user was shown}\n")
	return b
}

// listens is how signals are heard.
func (b *building) listens() string {
	return "listen: mqtt\nmqtt:\n  broker: tcp://" + b.address + "\n  signals:\n" +
		"    - {topic: studio/zone/+, address: \"{1}\", active: open, restored: closed}\n"
}

// span is when something was done, by our clock: after from, before to.
type span struct{ from, to time.Time }

func during(do func()) span {
	from := time.Now()
	do()
	return span{from, time.Now()}
}

// now touches NOW once it can be touched, as who looks first.
func (h *hand) now() span {
	h.t.Helper()
	h.Wait(`document.querySelector('#now:not(:disabled)')`)
	time.Sleep(400 * time.Millisecond)
	return during(func() { h.Tap("#now") })
}

// operates moves a detector.
func (h *hand) operates(point string, open bool) span {
	h.t.Helper()
	return during(func() { h.move(point, open) })
}

// holdsTruth tells whether what is stated of a response has the truth within its bounds.
func holdsTruth(t *testing.T, done taken, trial *record.Trial) {
	t.Helper()
	j := trial.Judge()
	assert.True(t, j.Timed(), "%+v", j)
	assert.GreaterOrEqual(t, j.Response+j.Uncertainty, done.report.from.Sub(done.touch.to), "shorter than it was")
	assert.LessOrEqual(t, j.Response-j.Uncertainty, done.report.to.Sub(done.touch.from), "longer than it was")
}

// stands waits until a wait of that kind stands for a detector.
func (h *hand) stands(kind, point string) {
	h.t.Helper()
	h.until(func(g glance) bool { return g.Kind == kind && g.Point == point }, kind+" of "+point)
}

// until waits until the phone shows something.
func (h *hand) until(is func(glance) bool, what string) {
	h.t.Helper()
	for late := time.Now().Add(20 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		g := h.glance()
		if is(g) {
			return
		}
		if time.Now().After(late) {
			h.Picture("stuck")
			h.t.Fatalf("%s does not come; the phone shows %+v: %s", what, g, h.Text("body"))
		}
	}
}

// taken is one trial as it was done.
type taken struct{ touch, report span }

// trial touches NOW at a detector whose turn it is and does the rest, for which it is told how
// to wait for what is to stand. Where this computer was too busy to time it, so that the
// program strikes it, it is done once more.
func (h *hand) trial(point string, rest func(stands func(kind string) bool) (report span, ok bool)) taken {
	h.t.Helper()
	for range 8 {
		h.stands("ready", point)
		serial := h.glance().Serial
		again := func(g glance) bool { return g.Kind == "ready" && g.Point == point && g.Serial > serial }
		done := taken{touch: h.now()}
		var ok bool
		done.report, ok = rest(func(kind string) (is bool) {
			h.until(func(g glance) bool {
				is = g.Kind == kind && g.Point == point
				return is || again(g)
			}, kind+" of "+point)
			return is
		})
		if ok {
			h.until(func(g glance) bool {
				ok = g.Takes != "" || g.Kind == "ready" && g.Point != point
				return ok || again(g)
			}, "what follows "+point)
		}
		if ok {
			return done
		}
		h.t.Logf("%s once more; told: %s", point, h.Text("#beside"))
		h.move(point, false)
	}
	h.t.Fatalf("%s: this computer is too busy", point)
	return taken{}
}

// sleeps hides the page for a time in which its clock stands still and that of the day goes on.
func (h *hand) sleeps(d time.Duration) {
	h.t.Helper()
	browser.Eval[bool](h.Phone, `(() => {
		const at = performance.now(), real = performance.now.bind(performance);
		window.behind ??= 0;
		Object.defineProperty(document, 'visibilityState', {configurable: true, get: () => 'hidden'});
		performance.now = () => at - window.behind;
		document.dispatchEvent(new Event('visibilitychange'));
		window.wakes = () => {
			window.behind = real() - at;
			performance.now = () => real() - window.behind;
			delete document.visibilityState;
			document.dispatchEvent(new Event('visibilitychange'));
		};
		return true; })()`)
	time.Sleep(d)
	browser.Eval[bool](h.Phone, `(window.wakes(), true)`)
}

// console is the program in a terminal, with its page behind the link.
func (b *building) console(args ...string) (c *console, address string) {
	b.t.Helper()
	b.serves()
	c = startConsole(b.t, 100, append(args, "--job", b.dir, "--phone", "--phone-listen", b.page)...)
	b.last = &notebook{}
	var found []string
	require.Eventually(b.t, func() bool {
		found = regexp.MustCompile(`https?://[0-9.:]+/#\S{22}`).FindAllString(c.text(), -1)
		return len(found) > 1 // the first is the onlooker's
	}, 20*time.Second, 10*time.Millisecond, "no address is told")
	return c, found[1]
}

// record is what the journal says now.
func (b *building) record() *record.Record {
	b.t.Helper()
	r, err := lastRecord(b.dir)
	require.NoError(b.t, err)
	return r
}

// journal is the visit's journal as it stands.
func (b *building) journal() string {
	b.t.Helper()
	found, err := filepath.Glob(filepath.Join(b.dir, "visits", "*", "journal.jsonl"))
	require.NoError(b.t, err)
	require.Len(b.t, found, 1)
	text, err := os.ReadFile(found[0])
	require.NoError(b.t, err)
	return string(text)
}

// outcomeOf is what came of a detector.
func outcomeOf(t *testing.T, r *record.Record, point string) *record.Outcome {
	t.Helper()
	for _, o := range r.Outcomes() {
		if string(o.Step().Point) == point && o.Last() != nil {
			return o
		}
	}
	t.Fatalf("%s was not tried", point)
	return nil
}

// lastOf is the last attempt at a detector.
func lastOf(t *testing.T, r *record.Record, point string) *record.Attempt {
	t.Helper()
	return outcomeOf(t, r, point).Last()
}
