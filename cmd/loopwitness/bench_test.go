//go:build unix

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/kit/testbroker"
)

// either waits until one of two texts was printed, and tells whether it was the first.
func (c *console) either(first, second string) bool {
	c.t.Helper()
	require.Eventually(c.t, func() bool {
		return strings.Contains(c.text(), first) || strings.Contains(c.text(), second)
	}, 20*time.Second, 5*time.Millisecond, "neither %q nor %q is printed", first, second)
	if !strings.Contains(c.text(), first) {
		c.expect(second)
		return false
	}
	c.expect(first)
	return true
}

// callingPracticeJob is the small studio whose practice controller calls over HTTP, and is asked so to switch.
func callingPracticeJob(t *testing.T) *studio {
	t.Helper()
	s := newStudio(t)
	s.write("controller.yaml", fmt.Sprintf(`
listen: webhook
practice: yes
webhook:
  at: %s
  secret: %s
  id: X-Delivery
  presence: {path: /there, here: up, away: down}
  signals:
    - {path: /zone/+, address: "z{1}", value: /state, active: open, restored: closed}
http:
  outputs:
    - {address: siren, url: "http://%s/siren", "on": "ON", "off": "OFF"}
`, freeaddress.Of(t), hookSecret, freeaddress.Of(t)))
	return s
}

// practiceJob is the small studio at mosquitto, for practice.
func practiceJob(t *testing.T) *studio {
	t.Helper()
	s := newStudio(t)
	s.write("controller.yaml", `
listen: mqtt
practice: yes
mqtt:
  broker: `+testbroker.Mosquitto(t).String()+`
  presence: {topic: studio/there, here: up, away: down}
  signals:
    - {topic: studio/zone/+, address: "z{1}", active: open, restored: closed}
  outputs:
    - {address: siren, topic: studio/siren/set, on: "ON", off: "OFF"}
`)
	return s
}

// A whole visit against the practice controller, each in a terminal of its own: the controller restarts in
// the middle of a trial, and the certificate says on every page that it was practice.
func TestVisitAgainstThePracticeController(t *testing.T) {
	t.Parallel()
	t.Run("MQTT", func(t *testing.T) { visitAgainst(t, practiceJob(t), "all states are told", true) })
	t.Run("webhook", func(t *testing.T) { visitAgainst(t, callingPracticeJob(t), "NOT TAKEN by the web hook", false) })
}

// visitAgainst is such a visit; ready is what the controller says once it has told how all stands, or that
// nobody listens yet. Of a controller that calls nobody sees that it is gone: it restarts between two trials.
func visitAgainst(t *testing.T, s *studio, ready string, seen bool) {
	t.Helper()
	s.write("scenario.yaml", "spread: 50 ms\nbuilding: {delays: {z1: 80 ms}}\n")
	b := startConsole(t, 120, "bench", "--job", s.dir, "--scenario", filepath.Join(s.dir, "scenario.yaml"))
	b.expect("PRACTICE")
	b.expect(ready)

	c := startConsole(t, 120, "visit", "start", "--kind", "handover", "--job", s.dir)
	c.expect("PRACTICE")
	c.expect("Everybody knows")
	c.send(enter)
	operate := func(point string) {
		for range 5 { // on a busy computer a trial may not count: once more
			c.send(" ")
			c.expect("NOW open")
			b.sendNow(point + " open\r")
			counts := c.either("NOW close", "does not count")
			b.sendNow(point + " close\r")
			if counts && c.either(point+" proved", "does not count") {
				return
			}
			c.expect("Go to " + point)
			time.Sleep(time.Second) // until it is at rest
		}
		t.Fatalf("no trial counts; the screen says:\n%s", c.all())
	}
	c.expect("Go to 1.1")
	operate("1.1")

	// It restarts while a window is to be opened: no verdict on the window.
	c.expect("Go to 2.1")
	if seen {
		c.send(" ")
		c.expect("NOW open")
	}
	b.sendNow("restart 1 s\r")
	b.expect("the controller is back")
	if seen {
		c.expect("this trial does not count")
		c.expect("connected again")
	}
	operate("2.1")
	c.expect("Go to 2.2")
	operate("2.2")
	c.expect("rest: so at all that are open")
	c.send(ctrlC)
	c.expect("Paused")
	c.exit(exitNotRun)

	// The rest is answered from a file.
	answers := "answers:\n  - {when: outputs/Sounder/level, say: 96 dB at 3 m}\n" +
		"  - {when: energise/unguarded, say: \"yes\"}\n"
	for _, a := range usual {
		text := a.text
		switch text {
		case "drawn":
			continue // a file, where nobody has a phone
		case now:
			text = time.Now().Format(time.TimeOnly)
		}
		answers += fmt.Sprintf("  - {when: %q, say: %q}\n", a.when, text)
	}
	s.write("answers.yaml", answers)
	out, err := runHere(t, "visit", "resume", "--job", s.dir, "--answers", filepath.Join(s.dir, "answers.yaml"))
	require.NoError(t, err, out)
	b.expect("told: Sounder on")
	b.expect("Sounder sounds or flashes")
	b.expect("Sounder has stopped")

	// What came of it says what it is.
	out, _ = runHere(t, "record", "--job", s.dir)
	assert.Contains(t, out, `"simulated": true`)
	out, err = runHere(t, "certify", "--job", s.dir)
	require.NoError(t, err, out)
	files, err := filepath.Glob(filepath.Join(s.dir, "certificates", "*.pdf"))
	require.NoError(t, err)
	require.Len(t, files, 1)
	text, err := exec.Command(outsidetool.Find(t, "pdftotext"), "-layout", files[0], "-").Output()
	require.NoError(t, err)
	pages := strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
	for _, page := range pages {
		assert.Contains(t, page, "SIMULATED: practice, no evidence of any installation")
		assert.NotContains(t, page, hookSecret)
	}

	b.sendNow(ctrlC)
	b.exit(exitDone)
}

// It runs only where the file says that it is practice, and only as long as it does.
func TestThePracticeControllerNeedsPractice(t *testing.T) {
	s := practiceJob(t)
	said, err := os.ReadFile(filepath.Join(s.dir, "controller.yaml"))
	require.NoError(t, err)
	b := startConsole(t, 120, "bench", "--job", s.dir)
	b.expect("all states are told")
	b.sendNow("3.1 opne\r")
	b.expect("no detector 3.1")
	b.sendNow("?\r")
	b.expect("storm 1000 10 s")
	s.write("controller.yaml", strings.Replace(string(said), "practice: yes", "practice: no", 1))
	b.expect("no longer says practice: yes")
	b.exit(exitNotRun)
	out, err := runHere(t, "bench", "--job", s.dir)
	assert.Error(t, err)
	assert.Contains(t, out, "speaks only where controller.yaml says: practice: yes")
	s.write("controller.yaml", string(said))
	s.write("scenario.yaml", "steps:\n  - {do: oepn, at: \"1.1\"}\n")
	out, err = runHere(t, "bench", "--job", s.dir, "--scenario", filepath.Join(s.dir, "scenario.yaml"))
	assert.Error(t, err)
	assert.Contains(t, out, "scenario.yaml:2:10: ")
}

// A storm from its scenario arrives in listen, all of it; a signal ends it without a word more.
func TestStormsArrive(t *testing.T) {
	s := practiceJob(t)
	s.write("scenario.yaml", "retained: no\nsteps:\n  - {after: 2 s, do: storm, rate: 5000, for: 2 s}\n")
	b := startConsole(t, 120, "bench", "--job", s.dir, "--scenario", filepath.Join(s.dir, "scenario.yaml"))
	b.expect("all states are told")
	out, err := runHere(t, "listen", "--job", s.dir, "--for", "6s")
	require.NoError(t, err, out)
	const reports = 2*5000 + 2 // at the end, how each zone stands
	assert.Contains(t, out, fmt.Sprintf("%d messages in 6 s; %[1]d on topics of controller.yaml, 0 of these not "+
		"understood.", reports+1), "and its presence, kept") // which is kept whatever the scenario says
	require.NoError(t, b.cmd.Process.Signal(syscall.SIGTERM))
	b.exit(exitDone)
}
