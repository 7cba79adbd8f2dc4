package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/kit/atomicfile"
)

// grace is how long a command has to end by itself, once it was told to: with what follows,
// less than a second.
const grace = 800 * time.Millisecond

// endThemselves are the commands that may have an output on: they switch it off before
// they end, however long that takes.
var endThemselves = map[string]bool{
	"loopwitness visit start":  true,
	"loopwitness visit resume": true,
	"loopwitness rehearse":     true,
	"loopwitness demo":         true,
}

// endInTime ends the program some time after the context has, whatever it computes, reads
// or waits for then. Nothing half-written stays, and the terminal is as it was.
func endInTime(cmd *cobra.Command, s streams) {
	if endThemselves[cmd.CommandPath()] {
		return
	}
	ctx, restore := cmd.Context(), terminal.Keep(s.in)
	context.AfterFunc(ctx, func() {
		if context.Cause(ctx) == context.Canceled {
			return // by ourselves, once the command has ended
		}
		time.Sleep(grace)
		atMost(50*time.Millisecond, atomicfile.Abandon)
		restore()
		if !errors.Is(context.Cause(ctx), errUnread) {
			atMost(20*time.Millisecond, func() { sayEnded(s.err, context.Cause(ctx)) })
		}
		os.Exit(exitNotRun)
	})
}

func sayEnded(to io.Writer, why error) {
	fmt.Fprintf(to, "\nended before it was finished: %v; nothing half-written was left\n", why)
}

// atMost does something, and no longer waits for it than that.
func atMost(limit time.Duration, do func()) {
	done := make(chan struct{})
	go func() { do(); close(done) }()
	select {
	case <-done:
	case <-time.After(limit):
	}
}

// errUnread says that nobody reads what the program prints any more.
var errUnread = errors.New("nobody reads what is printed any more")

// unattended tells whether nobody has to read what is printed: a file answers.
func unattended(cmd *cobra.Command) bool {
	answers := cmd.Flags().Lookup("answers")
	return answers != nil && answers.Value.String() != ""
}

// whileRead ends the command's context as soon as nobody reads what is printed: a visit
// pauses, and anything else goes on for nobody.
func whileRead(cmd *cobra.Command, out *os.File) {
	if unattended(cmd) {
		return
	}
	ctx, cancel := context.WithCancelCause(cmd.Context())
	cmd.SetContext(ctx)
	go func() {
		if untilUnread(out) {
			cancel(errUnread)
		}
	}()
}

// printed is err, or what hindered that all was printed.
func printed(err error, s streams, cmd *cobra.Command) error {
	switch {
	case unattended(cmd):
	case isUnread(s.out) && !endThemselves[cmd.CommandPath()]:
		return told{errUnread}
	case isUnread(s.out) && errors.As(err, new(told)): // where nobody saw it
		return errUnread
	case isUnread(s.out):
		return errors.Join(errUnread, err)
	case err == nil && *s.lost != nil:
		return fmt.Errorf("not all could be printed: %w", *s.lost)
	}
	return err
}
