// Command mutants changes programs in small ways and tells which of the changes no
// test notices: a comparison, a number, a condition, a statement that is dropped.
//
//	go run ./.ci/mutants [flags] [packages]
//	go test ./.ci/mutants
//
// All changes of a package are written into one copy of its sources, each of them
// asleep. The test binary is built once (go test -c -overlay; the work tree stays as
// it is) and run once for each mutant, which an environment variable wakes. First each
// test runs by itself, without any mutant: what it reaches is noted, so that a
// mutant is run only against the tests that reach it. One that none of them reaches, at
// a moment when it makes a difference, is told without a run. A test process
// may take a few times as long as without the mutant, then the mutant counts as killed.
//
// Tests that write and sync many files run several times as fast with TMPDIR=/dev/shm.
//
// Survivors that are known stand in allowed.txt, with the reason. Exit status: 0 done; 1 too
// few were killed, or allowed.txt names one that did not survive; 2 could not run.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"
)

var errTooFew = errors.New("not enough")

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	o, err := readOptions(os.Args[1:])
	if err == nil {
		err = run(ctx, ".", o, os.Stdout, os.Stderr)
	}
	stop()
	switch {
	case errors.Is(err, flag.ErrHelp):
		os.Exit(0)
	case errors.Is(err, errTooFew):
		os.Exit(1)
	case err != nil:
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(2)
	}
}

// run does it all for the module that dir lies in. The report goes to out, what is
// being done to progress.
func run(ctx context.Context, dir string, o options, out, progress io.Writer) error {
	start := time.Now()
	say := func(format string, args ...any) {
		fmt.Fprintf(progress, "%4.0f s  %s\n", time.Since(start).Seconds(), fmt.Sprintf(format, args...))
	}
	gomod, err := goCommand(ctx, dir, "env", "GOMOD")
	if err != nil {
		return err
	}
	root := filepath.Dir(strings.TrimSpace(string(gomod)))
	targets, mutants, err := choose(ctx, root, o)
	if err == nil {
		err = o.covers(targets)
	}
	if err != nil {
		return err
	}
	if o.list {
		for _, t := range targets {
			printAll(out, t, "", func(m *mutant) bool { return m.out == "" })
		}
		return nil
	}
	known, err := readAllowed(filepath.Join(root, o.allowed))
	if err != nil {
		return err
	}
	say("%d mutants in %d packages", len(mutants), len(targets))
	if err := pursue(ctx, root, o, targets, mutants, say); err != nil {
		return err
	}
	stale := allow(targets, known)
	report(out, targets)
	return conclude(out, o, targets, stale)
}

// choose finds the mutants of the packages and leaves out what was not asked for.
func choose(ctx context.Context, root string, o options) ([]*target, []*mutant, error) {
	targets, err := load(ctx, root, o.patterns)
	if err != nil {
		return nil, nil, err
	}
	var chosen []*mutant
	next := 1
	for _, t := range targets {
		t.find(&next)
		for _, m := range t.mutants {
			if !o.choose.MatchString(m.file) && !o.choose.MatchString(m.function) {
				m.out = notChosen
			}
		}
		if err := t.settle(); err != nil {
			return nil, nil, fmt.Errorf("%s cannot be rewritten: %w", t.name, err)
		}
		chosen = append(chosen, sample(t, o.sample)...)
	}
	return targets, chosen, nil
}

// conclude prints what is not as it should be.
func conclude(out io.Writer, o options, targets []*target, stale []*allowance) error {
	var err error
	slices.SortFunc(stale, func(a, b *allowance) int { return a.line - b.line })
	for _, a := range stale {
		fmt.Fprintf(out, "\n%s:%d: no such survivor: %s\n", o.allowed, a.line, a.key)
		err = errTooFew
	}
	for _, t := range targets {
		if p := count(t).percent(); o.holds(t) && p < o.minimum {
			fmt.Fprintf(out, "\n%s: %.1f %% are killed, %.1f %% must be\n", t.name, p, o.minimum)
			err = errTooFew
		}
	}
	return err
}
