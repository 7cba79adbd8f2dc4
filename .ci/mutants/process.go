package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"time"
)

// memoryKiB bounds the address space of a test process, so that a mutant that
// allocates without end dies before the machine does.
const memoryKiB = 4 << 20

// ending is how a test process ended.
type ending int

const (
	passed ending = iota
	failed
	timedOut
)

// run runs a test binary in its package's folder of a copy of the work tree.
// Whatever it started ends with it. output may be nil.
func (t *tree) run(ctx context.Context, b *binary, limit time.Duration, output *bytes.Buffer, env []string,
	args ...string) (ending, error) {
	bounded, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	cmd := t.command(bounded, b, env, args)
	if output != nil {
		cmd.Stdout, cmd.Stderr = output, output
	}
	err := cmd.Run()
	if cmd.Process != nil {
		_ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) // what it left behind; there need not be anything
	}
	if ctx.Err() != nil {
		return failed, ctx.Err()
	}
	if err := t.clean(); err != nil {
		return failed, err
	}
	var exit *exec.ExitError
	switch {
	case err == nil:
		return passed, nil
	case bounded.Err() != nil:
		return timedOut, nil
	case errors.As(err, &exit):
		return failed, nil
	}
	return failed, err
}

func (t *tree) command(ctx context.Context, b *binary, env, args []string) *exec.Cmd {
	script := fmt.Sprintf(`ulimit -v %d; exec "$0" "$@"`, memoryKiB)
	cmd := exec.CommandContext(ctx, "sh", append([]string{"-c", script, b.path}, args...)...)
	cmd.Dir = filepath.Join(t.dir, b.pkg)
	cmd.Env = append(append(os.Environ(), "TMPDIR="+t.scratch, "PWD="+cmd.Dir), env...)
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = time.Second
	return cmd
}
