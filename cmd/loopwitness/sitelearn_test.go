//go:build unix

package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const ownFile = `# Our own file, with comments that must stay.
reference: KP-1   # ours
premises: {name: Glaze Works, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: d}
supply:
  battery: {chemistry: none}   # for now

zones:
  # the shop
  - number: 1
    name: Windows
    kind: window
    wiring: one resistor
    end_of_line: 4k7
    address: z1
    detectors:
      - Left    # the first
  # nothing below yet
outputs:
  - {name: Sounder, kind: sounder, address: siren}
`

// A site is learnt by hand, against a broker: stray keys, Ctrl-C in the middle of a question,
// a way back, a window that is narrow. The file keeps every line that it had.
func TestLearningInATerminal(t *testing.T) {
	s := newStudio(t)
	s.write("site.yaml", ownFile)
	c := startConsole(t, 90, "site", "learn", "--job", s.dir)
	c.expect("Walk in and open each thing once")
	c.sendNow("xq" + escape)
	c.expect("learnt: 0 zones, 0 detectors")
	s.zone(2, "ajar", false)
	c.expect("z2 says “ajar”, which controller.yaml does not know")
	s.zone(2, "open", false)
	c.expect("z2 reports active")
	c.send("Shop door" + enter)
	c.expect("What is it?")
	c.send(enter)
	c.expect("Where is it?")
	c.send("back" + enter)
	c.expect("What is it?")
	c.send(enter)
	c.expect("Where is it?")
	c.send("front" + enter)
	c.expect("z2 is Shop door, door")
	c.expect("learnt: 1 zone, 1 detector")
	s.zone(1, "open", false)
	c.expect("z1 reports again: Windows, which has Left")
	c.send(ctrlC)
	c.expect("learn-draft.yaml; go on with")
	c.exit(exitNotRun)
	now, err := os.ReadFile(filepath.Join(s.dir, "site.yaml"))
	require.NoError(t, err)
	assert.Equal(t, ownFile, string(now))

	c = startConsole(t, 40, "site", "learn", "--job", s.dir)
	c.expect("go on from there")
	c.send(enter)
	c.expect("learnt: 1 zone, 1 detector")
	s.zone(1, "open", false)
	c.expect("a further detector")
	c.send(down + enter)
	c.expect("What did you open?")
	c.send("Right" + enter)
	c.expect("Where is it?")
	c.send(enter)
	c.expect("learnt: 1 zone, 2 detectors")
	c.send("f")
	c.expect("How are the zones wired")
	c.send(enter)
	c.expect("1 Windows, further detectors: Right")
	c.expect("it is right so")
	c.send(enter)
	c.expect("yes or no")
	c.send("yes" + enter)
	c.expect("written")
	c.exit(exitDone)

	now, err = os.ReadFile(filepath.Join(s.dir, "site.yaml"))
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(ownFile, "# the first\n", `# the first
      - name: "Right"
  - number: 2
    name: "Shop door"
    kind: "door"
    wiring: "one resistor"
    end_of_line: "4k7"
    address: "z2"
    detectors:
      - name: "Shop door"
        location: "front"
`, 1), string(now))
	assert.NoFileExists(t, filepath.Join(s.dir, "learn-draft.yaml"))
}

// What comes is shown in one line each, as it came and as it is read; Ctrl-C ends it with
// what came and what did not.
func TestListen(t *testing.T) {
	s := newStudio(t)
	s.zone(1, "closed", true)
	c := startConsole(t, 90, "listen", "--job", s.dir)
	for _, line := range []string{"z1          restored, kept from before  studio/zone/1  closed",
		"connected; the broker lets the topics be read"} { // in any order
		require.Eventually(t, func() bool { return strings.Contains(c.text(), line) }, 20*time.Second, 5*time.Millisecond)
	}
	s.zone(2, "ajar", false)
	c.expect("z2          NOT UNDERSTOOD  studio/zone/2  ajar")
	s.zone(7, "open", false)
	c.expect("z7 (no zone has it)  active  studio/zone/7  open")
	require.NoError(t, s.broker.Publish("studio/zones", []byte("\x1b[2J"), false, 0))
	c.expect(`no rule is about it  studio/zones  "\x1b[2J"`)
	require.NoError(t, c.cmd.Process.Signal(syscall.SIGINT))
	for _, line := range []string{"studio/zone/+  3 topics, 2 of them live", `studio/zone/2 said "ajar"`,
		"Zones from which something came: 1, 2", "4 messages in ",
		"; 3 on topics of controller.yaml, 1 of these not understood.",
		"1 address that no zone of site.yaml has: z7 (1)"} {
		c.expect(line)
	}
	c.exit(exitDone)
	assert.NotContains(t, c.raw.String(), "s3cret")
}

// That nothing ever came is said with what to look at, and without a site file, too.
func TestListeningToSilence(t *testing.T) {
	s := newStudio(t)
	require.NoError(t, os.Remove(filepath.Join(s.dir, "site.yaml")))
	listen := func(args ...string) (string, error) {
		out, err := os.CreateTemp(t.TempDir(), "out")
		require.NoError(t, err)
		defer out.Close()
		root := newRoot(streams{in: os.Stdin, out: out, err: out, lost: new(error)})
		root.SetArgs(append([]string{"listen", "--job", s.dir}, args...))
		failed := root.ExecuteContext(context.Background())
		told, err := os.ReadFile(out.Name())
		require.NoError(t, err)
		return string(told), failed
	}
	told, err := listen("--for", "200ms")
	assert.ErrorIs(t, err, errUnsatisfactory)
	for _, line := range []string{"0 messages in ", "not one message came that controller.yaml has a rule for. Look at:",
		"  broker: 127.0.0.1:", "  user: the one in controller.yaml", "  topics: studio/zone/+: does",
		"  beside: nothing came beside them either"} {
		assert.Contains(t, told, line)
	}
	require.NoError(t, s.broker.Publish("studio/other", []byte("x"), true, 0))
	told, err = listen("--for", "500ms")
	assert.ErrorIs(t, err, errUnsatisfactory)
	assert.Contains(t, told, "beside: 1 message came on other topics, shown above")
	_, err = listen("--for", "-1s")
	assert.ErrorContains(t, err, "no time to listen")
	assert.NotContains(t, told, "s3cret")

	s.write("controller.yaml", "listen: simulated\n")
	told, err = listen("--for", "100ms")
	require.NoError(t, err)
	assert.Contains(t, told, "z01         restored, kept from before\n")
	s.write("controller.yaml", "listen: keyboard\n")
	_, err = listen()
	assert.ErrorContains(t, err, "where signals come by the keyboard")
}
