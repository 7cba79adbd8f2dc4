// Loopwitness guides and witnesses the walk-test of a hard-wired intruder alarm.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"loopwitness/commission/kit/screen"
)

// version of the tool, written into every journal.
const version = "0.1.0"

const tool = "loopwitness " + version

func main() { os.Exit(run()) }

// run is the whole program; only main exits, so that everything deferred is
// done: terminal restored, sounder off.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), endSignals...)
	defer stop()
	// A reader that goes away must not kill us with a sounder on: the write
	// fails instead.
	signal.Ignore(syscall.SIGPIPE)
	s := streams{in: os.Stdin, out: os.Stdout, err: os.Stderr, lost: new(error)}
	cmd, err := newRoot(s).ExecuteContextC(ctx)
	return exitCode(printed(err, s, cmd))
}

// Exit codes.
const (
	exitDone           = 0 // done, and satisfactory
	exitUnsatisfactory = 1
	exitNotRun         = 2 // could not run, or is not finished
)

// errUnsatisfactory says that the work was done and its result is not satisfactory.
var errUnsatisfactory = errors.New("the result is unsatisfactory")

// errNotFinished says that the work was done and steps of the visit are open.
var errNotFinished = errors.New("the visit is not finished")

// told is an error that the command has explained already.
type told struct{ error }

func (t told) Unwrap() error { return t.error }

func exitCode(err error) int {
	if err == nil {
		return exitDone
	}
	if !errors.As(err, new(told)) {
		printError(os.Stderr, err)
	}
	if errors.Is(err, errUnsatisfactory) {
		return exitUnsatisfactory
	}
	return exitNotRun
}

func printError(to io.Writer, err error) {
	for line := range strings.Lines(err.Error()) {
		fmt.Fprintln(to, screen.Clean(strings.TrimSuffix(line, "\n")))
	}
}
