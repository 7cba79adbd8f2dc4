//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/hinshun/vt10x"
	broker "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/term"

	"loopwitness/commission/kit/testbroker"
)

// console is the program in a real terminal: a pty with an emulator behind it
// that answers the program's questions about the cursor.
type console struct {
	t     *testing.T
	cmd   *exec.Cmd
	pty   *os.File
	tty   *os.File
	found *term.State

	mu     sync.Mutex
	raw    bytes.Buffer
	seen   int       // how much of the text expectations have used up
	latest time.Time // when something was printed or typed
	done   chan error
}

func startConsole(t *testing.T, columns uint16, args ...string) *console {
	t.Helper()
	master, slave, err := pty.Open()
	require.NoError(t, err)
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Rows: 40, Cols: columns}))
	found, err := term.GetState(int(slave.Fd()))
	require.NoError(t, err)
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), runSelf+"=1", "TERM=xterm")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = slave, slave, slave
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	c := &console{t: t, cmd: cmd, pty: master, tty: slave, found: found, done: make(chan error, 1), latest: time.Now()}
	emulator := vt10x.New(vt10x.WithSize(int(columns), 40), vt10x.WithWriter(master))
	require.NoError(t, cmd.Start())
	go func() {
		buffer := make([]byte, 4096)
		for {
			n, err := master.Read(buffer)
			if n > 0 {
				c.mu.Lock()
				c.raw.Write(buffer[:n])
				c.latest = time.Now()
				c.mu.Unlock()
				_, _ = emulator.Write(buffer[:n])
			}
			if err != nil {
				return
			}
		}
	}()
	go func() { c.done <- cmd.Wait() }()
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = slave.Close()
		_ = master.Close()
	})
	return c
}

var control = regexp.MustCompile(`\x1b\[[0-9;?]*[A-Za-z]`)

// text is all that was printed since the last expectation was met.
func (c *console) text() string {
	all := c.all()
	return all[min(c.seen, len(all)):]
}

// all is what was printed from the beginning.
func (c *console) all() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return control.ReplaceAllString(c.raw.String(), "")
}

// expect waits until a text was printed and forgets what came up to it.
func (c *console) expect(want string) {
	c.t.Helper()
	ok := assert.Eventually(c.t, func() bool { return strings.Contains(c.text(), want) }, 20*time.Second,
		5*time.Millisecond)
	if !ok {
		c.t.Fatalf("%q was not printed; the screen says:\n%s", want, c.text())
	}
	c.seen += strings.Index(c.text(), want) + len(want)
}

// send types once the screen has been quiet for a moment, as a person would.
func (c *console) send(keys string) {
	c.t.Helper()
	require.Eventually(c.t, func() bool {
		c.mu.Lock()
		defer c.mu.Unlock()
		return time.Since(c.latest) > 150*time.Millisecond
	}, 10*time.Second, 10*time.Millisecond, "the screen does not come to rest")
	c.sendNow(keys)
}

// sendNow types at once: while a clock runs on the screen it is never quiet.
func (c *console) sendNow(keys string) {
	c.t.Helper()
	c.mu.Lock()
	c.latest = time.Now()
	c.mu.Unlock()
	_, err := c.pty.Write([]byte(keys))
	require.NoError(c.t, err)
}

// exit waits for the end, checks its code, and that the terminal is as it was.
func (c *console) exit(code int) {
	c.t.Helper()
	select {
	case <-c.done:
	case <-time.After(20 * time.Second):
		c.t.Fatalf("the program does not end; the screen says:\n%s", c.text())
	}
	assert.Equal(c.t, code, c.cmd.ProcessState.ExitCode(), c.text())
	now, err := term.GetState(int(c.tty.Fd()))
	require.NoError(c.t, err)
	assert.Equal(c.t, c.found, now, "the terminal is given back as it was found")
}

const (
	down   = "\x1b[B"
	enter  = "\r"
	ctrlC  = "\x03"
	ctrlD  = "\x04"
	escape = "\x1b"
)

// studio is a job folder with a controller behind an in-process broker.
type studio struct {
	t      *testing.T
	dir    string
	broker *testbroker.Broker
	mu     sync.Mutex
	siren  []string
}

const brokerSecret = "kiln-s3cret-passphrase"

func newStudio(t *testing.T) *studio {
	t.Helper()
	s := &studio{t: t, dir: t.TempDir(),
		broker: testbroker.Run(t, testbroker.Options{User: "witness", Password: brokerSecret})}
	require.NoError(
		t,
		s.broker.Subscribe("studio/siren/set", 1, func(_ *broker.Client, _ packets.Subscription, p packets.Packet) {
			s.mu.Lock()
			defer s.mu.Unlock()
			s.siren = append(s.siren, string(p.Payload))
		}),
	)
	s.write("site.yaml", `
reference: MQ-7
premises: {name: "Glaze Works 🏺 שלום", address: 3 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: network controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Shop door, kind: door, wiring: normally closed, address: z1, detectors: [Door contact]}
  - {number: 2, name: Windows, kind: window, wiring: normally closed, address: z2, detectors: [Left, Right]}
outputs:
  - {name: Sounder, kind: sounder, address: siren}
`)
	s.write("controller.yaml", fmt.Sprintf(`
listen: mqtt
mqtt:
  broker: tcp://%s
  user: witness
  password: %s
  signals:
    - {topic: studio/zone/+, address: "z{1}", active: open, restored: closed}
  outputs:
    - {address: siren, topic: studio/siren/set, on: "ON", off: "OFF"}
`, s.broker.Address, brokerSecret))
	s.write("checklist-handover.yaml",
		"inspection:\n  - {id: told, text: Everybody knows}\nhandover:\n  - {id: shown, text: The user was shown}\n")
	return s
}

func (s *studio) write(name, text string) {
	s.t.Helper()
	require.NoError(s.t, os.WriteFile(filepath.Join(s.dir, name), []byte(text), 0o600))
}

func (s *studio) zone(number int, state string, retain bool) {
	s.t.Helper()
	require.NoError(s.t, s.broker.Publish(fmt.Sprintf("studio/zone/%d", number), []byte(state), retain, 1))
}

func (s *studio) sirenHeard() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string{}, s.siren...)
}

// toStage leaves the stage that a visit begins or goes on with, for another:
// the second, third … of the menu.
func (c *console) toStage(number int) {
	c.t.Helper()
	c.expect("Everybody knows")
	c.expect("not now: leave this stage")
	c.send(strings.Repeat(down, 4) + enter)
	c.expect("sign-off:")
	c.send(strings.Repeat(down, number) + enter)
}

// A visit by hand, against a broker, with everything that goes wrong on site.
func TestVisitInATerminal(t *testing.T) {
	s := newStudio(t)
	s.zone(1, "closed", true)
	s.zone(2, "closed", true)

	c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", s.dir)
	c.expect("not now: leave this stage")

	// Esc, a stray key and Ctrl-D answer nothing; Ctrl-D pauses.
	c.send(escape)
	c.send("x")
	c.send(ctrlD)
	c.expect("Paused")
	c.exit(exitNotRun)

	c = startConsole(t, 90, "visit", "resume", "--job", s.dir)
	c.toStage(2)

	// A contact answers and is restored.
	c.expect("Go to 1.1")
	c.send(" ")
	c.expect("NOW open the door")
	s.zone(1, "open", false)
	c.expect("NOW close the door")
	s.zone(1, "closed", false)
	c.expect("1.1 proved")

	// A silent one; it is tried again, broken off with Ctrl-C, and resumed.
	c.expect("Go to 2.1")
	c.send(" ")
	c.expect("NOW open the window")
	c.sendNow("x")
	c.expect("2.1 silent")
	c.expect("write a note")
	c.send(down + down + enter)
	c.expect("Go to 2.1")
	c.send(" ")
	c.expect("NOW open the window")
	c.sendNow(ctrlC)
	c.expect("Paused")
	c.exit(exitNotRun)

	c = startConsole(t, 40, "visit", "resume", "--job", s.dir) // a narrow window
	c.expect("Go to 2.1")
	c.send(" ")
	c.expect("NOW open the window")
	s.zone(2, "open", false)
	c.expect("NOW close the window")
	s.zone(2, "closed", false)
	c.expect("2.1 proved")

	// The second window is wired to the first zone: crossed.
	c.expect("Go to 2.2")
	c.send(" ")
	c.expect("NOW open the window")
	s.zone(1, "open", false)
	c.expect("crossed")
	c.expect("write a note")
	c.send(down + down + down + enter) // as it is

	// The terminal is closed: nothing is lost.
	c.expect("not now: leave this stage")
	require.NoError(t, c.cmd.Process.Signal(syscall.SIGHUP))
	c.exit(exitNotRun)

	out, err := runHere(t, "visit", "show", "--job", s.dir)
	require.NoError(t, err, out)
	for _, line := range []string{`1\.1 .* 1 +proved`, `2\.1 .* 2 +proved`, `2\.2 .* 1 +crossed`} {
		assert.Regexp(t, line, out)
	}
	_, err = runHere(t, "certify", "--job", s.dir)
	assert.Error(t, err, "unfinished, and a finding: exit code 1")
	s.noSecretAnywhere()
}

// What was typed before a question or a wait stood there answers nothing.
func TestWhatIsTypedAheadAnswersNothing(t *testing.T) {
	s := newStudio(t)
	c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", s.dir)
	c.sendNow(down + enter + down + enter + "done\nyes\n   ")
	c.expect("Everybody knows")
	c.expect("not now: leave this stage")
	c.send(" x") // stray keys, once the question stands
	c.send(enter)
	c.expect("choose: done, it is so")
	out, err := runHere(t, "visit", "show", "--job", s.dir)
	require.NoError(t, err)
	assert.Contains(t, out, "Next: walk-test, 1.1", "one step was taken, not more: %s", out)
}

// noSecretAnywhere greps all that the visit has left behind.
func (s *studio) noSecretAnywhere() {
	s.t.Helper()
	files := 0
	require.NoError(s.t, filepath.Walk(s.dir, func(path string, info os.FileInfo, err error) error {
		if err != nil || info.IsDir() || info.Name() == "controller.yaml" {
			return err
		}
		files++
		data, err := os.ReadFile(path)
		assert.NotContains(s.t, string(data), brokerSecret, path)
		return err
	}))
	assert.Greater(s.t, files, 3)
}

func runHere(t *testing.T, args ...string) (string, error) {
	t.Helper()
	cmd := exec.Command(os.Args[0], args...)
	cmd.Env = append(os.Environ(), runSelf+"=1")
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// However the program ends while the sounder is on, the sounder is switched off at once:
// after a kill by the broker, and by the next run again.
func TestSounderIsSwitchedOffWhateverHappens(t *testing.T) {
	for name, tc := range map[string]struct {
		end   func(*console)
		after []string
	}{
		"Ctrl-C": {func(c *console) { c.sendNow(ctrlC); c.exit(exitNotRun) }, []string{"ON", "OFF"}},
		"SIGTERM": {func(c *console) {
			require.NoError(c.t, c.cmd.Process.Signal(syscall.SIGTERM))
			c.exit(exitNotRun)
		}, []string{"ON", "OFF"}},
		"SIGQUIT": {func(c *console) {
			require.NoError(c.t, c.cmd.Process.Signal(syscall.SIGQUIT))
			c.exit(exitNotRun)
		}, []string{"ON", "OFF"}},
		"killed": {func(c *console) { require.NoError(c.t, c.cmd.Process.Kill()); <-c.done },
			[]string{"ON", "OFF"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newStudio(t)
			c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", s.dir)
			c.toStage(4)
			c.expect("energise Sounder")
			c.expect("not tested, with a reason")
			c.send(enter) // typed by mistake: answers nothing, energises nothing
			c.expect("(no answer yet)")
			c.expect("not tested, with a reason")
			assert.Empty(t, s.sirenHeard())
			c.send(down + enter)
			c.expect("sign-off:") // the stage is left
			c.send(strings.Repeat(down, 4) + enter)
			c.expect("not tested, with a reason")
			c.send(down + down + enter)
			c.expect("CAUTION")
			c.expect("yes or no:")
			c.send(enter)
			c.expect("yes or no")
			assert.Empty(t, s.sirenHeard(), "Enter alone is no yes")
			c.send("yes" + enter)
			c.expect("Was it heard clearly?")
			require.Eventually(t, func() bool { return len(s.sirenHeard()) == 1 }, 5*time.Second, time.Millisecond)
			tc.end(c)
			assert.Eventually(t, func() bool { return len(s.sirenHeard()) == len(tc.after) }, 5*time.Second, time.Millisecond)
			assert.Equal(t, tc.after, s.sirenHeard())
			if name != "killed" {
				return
			}
			c = startConsole(t, 90, "visit", "resume", "--job", s.dir)
			c.expect("may still be on")
			assert.Eventually(t, func() bool { return strings.Join(s.sirenHeard(), " ") == "ON OFF OFF" },
				5*time.Second, time.Millisecond)
		})
	}
}

// A y is a yes; a bare number has its unit; what cannot well be is doubted; and the last
// reading is taken again while the sounder is on, before anything else is asked.
func TestShortAnswersInATerminal(t *testing.T) {
	s := newStudio(t)
	c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", s.dir)
	c.toStage(4)
	c.expect("not tested, with a reason")
	c.send(down + down + enter)
	c.expect("yes or no:")
	c.send("yes" + enter)
	c.expect("Was it heard clearly?")
	c.expect("yes or no:")
	c.send("y" + enter)
	c.expect("Sound level now")
	c.expect("answer:")
	c.send("196 at 3 m" + enter)
	c.expect("196 dB at 3 m, really?")
	c.send("Y" + enter)
	c.expect("taken as 196 dB at 3 m")
	c.expect("Its current now")
	c.expect("type redo to take again: Sounder")
	c.send("redo" + enter)
	c.expect("Sound level now")
	c.send("96 at 3 m" + enter)
	c.expect("taken as 96 dB at 3 m")
	c.expect("Its current now")
	c.send(enter)
	c.expect("Time after which it stopped")
	c.send("30 min" + enter)
	c.expect("it was on for")
	c.send(strings.Repeat("\b", 6) + enter)
	c.expect("Everybody knows")
	c.expect("take the last one again: Sounder")
	c.send(strings.Repeat(down, 5) + enter)
	c.expect("energise Sounder")
	c.send(ctrlC)
	c.expect("Paused")
	c.exit(exitNotRun)
	assert.Equal(t, []string{"ON", "OFF"}, s.sirenHeard())

	journals, err := filepath.Glob(filepath.Join(s.dir, "visits", "*", "journal.jsonl"))
	require.NoError(t, err)
	require.Len(t, journals, 1)
	text, err := os.ReadFile(journals[0])
	require.NoError(t, err)
	assert.Contains(t, string(text), `"as_typed":"196 dB at 3 m","distance_metre":3,"confirmed":true`)
	assert.Contains(t, string(text), `"as_typed":"96 dB at 3 m","distance_metre":3}`)
	assert.Contains(t, string(text), `"result":"works"`)
}

// A reader of our output that goes away does not kill us with the sounder on.
func TestBrokenPipeLeavesNothingSounding(t *testing.T) {
	s := newStudio(t)
	s.write("answers.yaml", "answers:\n"+
		"  - {when: inspection/told, say: leave}\n"+
		"  - {when: stage, say: outputs}\n"+
		"  - {when: outputs/Sounder, say: energise}\n"+
		"  - {when: \"*/energise\", say: \"yes\"}\n"+
		"  - {when: \"*/heard\", say: \"yes\"}\n")
	cmd := exec.Command(os.Args[0], "visit", "start", "--kind", "handover", "--job", s.dir, "--answers",
		filepath.Join(s.dir, "answers.yaml"))
	cmd.Env = append(os.Environ(), runSelf+"=1")
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	require.NoError(t, out.Close())
	assert.Error(t, cmd.Wait())
	assert.Equal(t, exitNotRun, cmd.ProcessState.ExitCode(), "ended by itself, not by a signal")
	assert.Eventually(t, func() bool { return strings.Join(s.sirenHeard(), " ") == "ON OFF" }, 5*time.Second,
		time.Millisecond)
}

// A second process on the same visit is told who holds it.
func TestOneVisitOneProcess(t *testing.T) {
	s := newStudio(t)
	c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", s.dir)
	c.expect("not now: leave this stage")
	out, err := runHere(t, "visit", "resume", "--job", s.dir)
	assert.Error(t, err)
	assert.Contains(t, out, fmt.Sprintf("another process holds this visit: process %d", c.cmd.Process.Pid))
}

// The passphrase is asked for in a terminal, twice for a new key, and never shown;
// keys that break off store nothing.
func TestPassphraseIsTyped(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	key := filepath.Join(dir, "loopwitness", "signing-key.p12")
	c := startConsole(t, 90, "key", "new", "--name", "Bellbird")
	c.expect("new passphrase, at least 10 characters:")
	c.send(ctrlC)
	c.exit(exitNotRun)
	assert.NoFileExists(t, key)

	c = startConsole(t, 90, "key", "new", "--name", "Bellbird")
	c.expect("new passphrase, at least 10 characters:")
	c.send("tall blue vase" + enter)
	c.expect("the same again:")
	c.send("tall blue vasf" + enter)
	c.expect("the two passphrases differ; nothing was stored")
	c.expect("new passphrase, at least 10 characters:") // else the next try lands in the shell
	c.send("short" + enter)
	c.expect("too short")
	assert.NoFileExists(t, key)
	c.expect("new passphrase, at least 10 characters:")
	c.send("tall blue vase" + enter)
	c.expect("the same again:")
	c.send("tall blue vase" + enter)
	c.expect("Fingerprint")
	c.exit(exitDone)
	assert.FileExists(t, key)
	assert.NotContains(t, c.text(), "vase")

	c = startConsole(t, 90, "key", "request")
	for range 3 {
		c.expect("passphrase of the signing key:")
		c.send("wrong" + enter)
	}
	c.expect("wrong passphrase; there is no way to open the key without it")
	c.exit(exitNotRun)

	require.NoError(t, os.Remove(filepath.Join(dir, "loopwitness", "signing-key-certificate.pem")))
	c = startConsole(t, 90, "key", "show")
	c.expect("passphrase of the signing key:")
	c.send("wrong" + enter)
	c.expect("Wrong passphrase.")
	c.expect("passphrase of the signing key:")
	c.send("tall blue vase" + enter)
	c.expect("Fingerprint")
	c.exit(exitDone)
}

// A photograph can be added while the visit is paused, not while it runs.
func TestPhotographWhileTheVisitRuns(t *testing.T) {
	s := newStudio(t)
	c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", s.dir)
	c.expect("not now: leave this stage")
	s.write("photo.jpg", string(photo(t)))
	out, err := runHere(t, "visit", "attach", filepath.Join(s.dir, "photo.jpg"), "--job", s.dir, "--about", "site")
	assert.Error(t, err)
	assert.Contains(t, out, "another process holds this visit")
	assert.Contains(t, out, "pause the visit first (Ctrl-C)")
	c.send(ctrlC)
	c.exit(exitNotRun)
	out, err = runHere(t, "visit", "attach", filepath.Join(s.dir, "photo.jpg"), "--job", s.dir, "--about", "site")
	require.NoError(t, err, out)
	c = startConsole(t, 90, "visit", "resume", "--job", s.dir)
	c.expect("not now: leave this stage")
	c.send(ctrlC)
	c.exit(exitNotRun)
}
