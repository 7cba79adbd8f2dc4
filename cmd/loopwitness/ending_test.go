//go:build linux

package main

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"loopwitness/report/identity"
)

// endless is a command that waits or computes for ever, or for very long.
type endless struct {
	args []string
	// given is written to its file descriptor 3, or to its standard input.
	given   string
	toInput bool
	// reached waits until a server was reached; nil where what is given tells that it is
	// at work.
	reached <-chan struct{}
}

// start starts it and returns when it is at work.
func (e endless) start(t *testing.T, dir string) (cmd *exec.Cmd, errs *bytes.Buffer) {
	t.Helper()
	r, w, err := os.Pipe()
	require.NoError(t, err)
	t.Cleanup(func() { _ = r.Close(); _ = w.Close() }) // the writer stays: there is no end
	cmd = exec.Command(os.Args[0], e.args...)
	errs = &bytes.Buffer{}
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, io.Discard, errs
	cmd.Env = append(os.Environ(), runSelf+"=1", "HOME="+dir, "XDG_CONFIG_HOME="+filepath.Join(dir, "config"))
	if cmd.Stdin = r; !e.toInput {
		cmd.Stdin, cmd.ExtraFiles = nil, []*os.File{r}
	}
	_, err = w.WriteString(e.given)
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	if e.reached != nil {
		select {
		case <-e.reached:
		case <-time.After(20 * time.Second):
			t.Fatal("it reaches no server")
		}
		return cmd, errs
	}
	require.Eventually(t, func() bool {
		left, err := unix.IoctlGetInt(int(r.Fd()), unix.TIOCINQ)
		return err == nil && left == 0
	}, 20*time.Second, time.Millisecond, "it does not read what it is given")
	return cmd, errs
}

// silent is a server that takes whoever comes, and says nothing.
func silent(t *testing.T) (address string, reached <-chan struct{}) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	came := make(chan struct{}, 10)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			defer c.Close()
			came <- struct{}{}
		}
	}()
	return l.Addr().String(), came
}

// slowKey is a key whose passphrase takes 8 million rounds to try, as 7 s or more.
func slowKey(t *testing.T, path string) {
	t.Helper()
	id, err := identity.New(identity.Subject{Name: "Bellbird"}, time.Now(), 1)
	require.NoError(t, err)
	file, err := id.Store("long enough")
	require.NoError(t, err)
	// The number of rounds stands last in a PKCS#12 file, as an INTEGER (RFC 7292, 4, from memory).
	at := len(file) - 3
	require.Equal(t, []byte{2, 3}, file[at-2:at])
	copy(file[at:], []byte{0x7f, 0xff, 0xff})
	require.NoError(t, os.WriteFile(path, file, 0o600))
}

// Audit, 8 and 15: what reads or computes without end hangs beyond Ctrl-C and SIGTERM.
func TestSignalsEndEveryCommandWithinASecond(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	_, errs, code = at(t, dir, []string{passphraseVariable + "=long enough"}, "key", "new", "--name", "Bellbird", "--key",
		"own.p12")
	require.Zero(t, code, errs)
	require.NoError(t, os.Remove(filepath.Join(dir, "own-certificate.pem")))
	slowKey(t, filepath.Join(dir, "slow.p12"))
	stamps, stamped := silent(t)
	broker, connected := silent(t)
	site, err := demoFiles.ReadFile("demo/site.yaml")
	require.NoError(t, err)
	for _, job := range []string{"mqtt", "watched"} {
		require.NoError(t, os.Mkdir(filepath.Join(dir, job), 0o700))
		require.NoError(t, os.WriteFile(filepath.Join(dir, job, "site.yaml"), site, 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mqtt", "controller.yaml"), []byte("listen: mqtt\nmqtt:\n"+
		"  broker: tcp://"+broker+"\n  signals: [{topic: a/+, address: \"z{1}\", active: a, restored: b}]\n"), 0o600))

	open := func(words ...string) endless {
		return endless{args: append(words, "--passphrase-fd", "3"), given: "x"}
	}
	for name, e := range map[string]endless{
		"certify, no passphrase":     open("certify", "--job", "job", "--key", "own.p12"),
		"key new, no passphrase":     open("key", "new", "--name", "a", "--key", "new.p12"),
		"key import, no passphrase":  open("key", "import", "own.p12", "--key", "new.p12"),
		"key show, no passphrase":    open("key", "show", "--key", "own.p12"),
		"key request, no passphrase": open("key", "request", "--key", "own.p12"),
		"key show, many rounds": {args: []string{"key", "show", "--key", "slow.p12", "--passphrase-fd", "3"},
			given: "long enough\n"},
		"certify, many rounds": {args: []string{"certify", "--job", "job", "--key", "slow.p12", "--passphrase-fd", "3"},
			given: "long enough\n"},
		"certify, silent time stamps": {args: []string{"certify", "--job", "job", "--key", "own.p12", "--passphrase-fd", "3",
			"--timestamp", "http://" + stamps}, given: "long enough\n", reached: stamped},
		"site check, silent broker": {args: []string{"site", "check", "--job", "mqtt", "--connect"}, reached: connected},
		"site new, no answers":      {args: []string{"site", "new", "--job", "another"}, given: "x", toInput: true},
		"rehearse, no answers":      {args: []string{"rehearse", "--job", "rehearsal"}, given: "x", toInput: true},
		"visit start, no answers": {args: []string{"visit", "start", "--job", "watched", "--kind", "handover", "--beside"},
			given: "x", toInput: true},
	} {
		for _, s := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM} {
			t.Run(name+", "+s.String(), func(t *testing.T) {
				cmd, errs := e.start(t, dir)
				told := time.Now()
				require.NoError(t, cmd.Process.Signal(s))
				_ = cmd.Wait()
				took := time.Since(told)
				const starved = time.Second // of a machine that has other things to do
				assert.Less(t, took, time.Second+starved)
				assert.Equal(t, exitNotRun, cmd.ProcessState.ExitCode(), errs)
				t.Logf("%.2f s", took.Seconds())
			})
		}
	}
	require.NoError(t, filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		assert.False(t, strings.HasSuffix(path, ".part"), path)
		return err
	}))
}

// A command that was ended says so.
func TestWhatIsEndedSaysSo(t *testing.T) {
	dir := t.TempDir()
	slowKey(t, filepath.Join(dir, "slow.p12"))
	cmd, errs := endless{args: []string{"key", "show", "--key", "slow.p12", "--passphrase-fd", "3"},
		given: "long enough\n"}.start(t, dir)
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	_ = cmd.Wait()
	assert.Equal(t, exitNotRun, cmd.ProcessState.ExitCode())
	assert.Contains(t, errs.String(), "broken off while the key was opened")
	var said bytes.Buffer
	sayEnded(&said, errors.New("terminated")) // of what does not end by itself
	assert.Contains(t, said.String(), "ended before it was finished: terminated")
}

// Audit, 9: with stdout closed a visit goes on asking unseen.
func TestAVisitPausesWhenNobodyReadsWhatItSays(t *testing.T) {
	dir := t.TempDir()
	site, err := demoFiles.ReadFile("demo/site.yaml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "site.yaml"), site, 0o600))
	out, read, err := os.Pipe()
	require.NoError(t, err)
	in, w, err := os.Pipe()
	require.NoError(t, err)
	defer w.Close()
	cmd := exec.Command(os.Args[0], "visit", "start", "--kind", "handover")
	var errs bytes.Buffer
	cmd.Dir, cmd.Stdin, cmd.Stdout, cmd.Stderr = dir, in, read, &errs
	cmd.Env = append(os.Environ(), runSelf+"=1")
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	require.NoError(t, read.Close())
	_, err = out.Read(make([]byte, 1)) // it is at work
	require.NoError(t, err)
	require.NoError(t, out.Close())
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	select {
	case <-ended:
	case <-time.After(20 * time.Second):
		t.Fatal("it goes on asking")
	}
	assert.Equal(t, exitNotRun, cmd.ProcessState.ExitCode())
	assert.Contains(t, errs.String(), "nobody reads what is printed any more")
	journals, err := filepath.Glob(filepath.Join(dir, "visits", "*", "journal.jsonl"))
	require.NoError(t, err)
	require.Len(t, journals, 1)
	data, err := os.ReadFile(journals[0])
	require.NoError(t, err)
	assert.Contains(t, string(data), "pause")
}

// What could not be printed is not said to be done.
func TestAFullDiskBehindStdout(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0) // a device of Linux that is always full
	if err != nil {
		t.Skip(err)
	}
	defer full.Close()
	cmd := exec.Command(os.Args[0], "limits")
	cmd.Dir, cmd.Stdout, cmd.Env = t.TempDir(), full, append(os.Environ(), runSelf+"=1")
	var errs bytes.Buffer
	cmd.Stderr = &errs
	_ = cmd.Run()
	assert.Equal(t, exitNotRun, cmd.ProcessState.ExitCode())
	assert.Contains(t, errs.String(), "no space left")
}
