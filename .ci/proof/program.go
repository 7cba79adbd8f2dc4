package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// buildProgram builds the program that is attacked and returns its path.
func buildProgram(ctx context.Context, root, folder string) (string, error) {
	path := filepath.Join(folder, "loopwitness")
	cmd := exec.CommandContext(ctx, "go", "build", "-trimpath", "-o", path, "./cmd/loopwitness")
	cmd.Dir = root
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("build the program: %w\n%s", err, out)
	}
	return path, nil
}

// folder makes a new folder for an attempt.
func (o options) folder(pattern string) (string, error) { return os.MkdirTemp(o.temporary, pattern) }

// longestRun bounds a run of the program: what takes longer hangs.
const longestRun = 2 * time.Minute

// errHangs says that the program did not end.
var errHangs = fmt.Errorf("it hangs: no end after %s", longestRun)

// child is one run of the program. What it writes goes to a file: a line is there, or not,
// whatever becomes of the program.
type child struct {
	cmd    *exec.Cmd
	ended  chan struct{}
	err    error // after ended
	screen string
}

// start starts the program. ended is closed once it has ended.
func (o options) start(ctx context.Context, screen string, args ...string) (*child, error) {
	out, err := os.Create(screen)
	if err != nil {
		return nil, err
	}
	defer out.Close()
	cmd := exec.CommandContext(ctx, o.program, args...)
	cmd.Stdout, cmd.Stderr = out, out
	c := &child{cmd: cmd, ended: make(chan struct{}), screen: screen}
	if err := cmd.Start(); err != nil {
		return nil, err
	}
	go func() {
		c.err = cmd.Wait()
		close(c.ended)
	}()
	return c, nil
}

// kill kills the program and waits until it is gone. It tells whether it was the kill that
// ended it.
func (c *child) kill() bool {
	_ = c.cmd.Process.Kill()
	<-c.ended
	status, is := c.cmd.ProcessState.Sys().(syscall.WaitStatus)
	return is && status.Signaled() && status.Signal() == syscall.SIGKILL
}

// code waits until the program ends and returns its exit code; errHangs if it does not.
func (c *child) code() (int, error) {
	limit := time.NewTimer(longestRun)
	defer limit.Stop()
	select {
	case <-c.ended:
	case <-limit.C:
		c.kill()
		return -1, errHangs
	}
	var exit *exec.ExitError
	if c.err != nil && !errors.As(c.err, &exit) {
		return -1, c.err
	}
	return c.cmd.ProcessState.ExitCode(), nil
}

// tail is the end of what the program wrote, for a report.
func (c *child) tail() string {
	const most = 600
	text, _ := os.ReadFile(c.screen)
	return string(text[max(0, len(text)-most):])
}
