// Command proof attacks the program in ways for which a timed test has no time, and prints
// one table of what came of it.
//
//	go run ./.ci/proof                          everything, about a quarter of an hour on two cores
//	go run ./.ci/proof -short                   less of each, under a minute
//	go run ./.ci/proof -only kills,power        some rows
//	go run ./.ci/proof -write testdata/proof.md and keep the table
//	go run ./.ci/proof -program FILE            against another build of the program
//	go test ./.ci/proof                         that the proof can fail
//
// Each row is a kind of attack. Its columns: how often it was tried; how often all that had
// been acknowledged was there afterwards and every verdict as without the attack (survived);
// how often not (lost); how often something was spoiled and the program said that all is
// well (unnoticed); and the longest time that a sounder stayed on after the attack, where one
// was on. What an attack needs and the computer does not have is "not tried".
//
// Below the table stands, for each that was lost, what, and with which -seed it comes again.
// How a row is added stands in attack.go.
//
// It runs on Linux. Everything that it starts, it ends; it writes to TMPDIR alone, without one
// to memory where there is such a file system: a killed program's writes are there all the same,
// and power cuts are played in files. Exit status: 0 nothing was lost or unnoticed; 1
// something was; 2 it could not run.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"
)

// errLost says that the table shows something lost or unnoticed.
var errLost = errors.New("something was lost or unnoticed")

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	signal.Ignore(syscall.SIGPIPE) // whoever reads the table may go; what was written is removed all the same
	o, err := readOptions(os.Args[1:])
	if err == nil {
		err = run(ctx, o)
	}
	stop()
	switch {
	case errors.Is(err, flag.ErrHelp):
		os.Exit(0)
	case errors.Is(err, errLost):
		os.Exit(1)
	case err != nil:
		fmt.Fprintln(os.Stderr, "proof:", err)
		os.Exit(2)
	}
}

// run carries the attacks out that were asked for and prints what came of them.
func run(ctx context.Context, o options) (err error) {
	if o.temporary, err = os.MkdirTemp(scratch(), "proof-"); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(o.temporary)) }()
	if o.program == "" {
		if o.program, err = buildProgram(ctx, o.root, o.temporary); err != nil {
			return err
		}
	}
	began := time.Now()
	rows, err := carryOut(ctx, o, o.attacks)
	if err != nil {
		return err
	}
	fmt.Print(table(rows), losses(rows))
	if o.write != "" {
		page, err := page(ctx, o, rows, time.Since(began), time.Now())
		if err != nil {
			return err
		}
		if err := os.WriteFile(o.write, []byte(page), 0o644); err != nil {
			return err
		}
	}
	return verdict(rows)
}

// verdict is errLost where the table shows something lost or unnoticed.
func verdict(rows []row) error {
	for _, r := range rows {
		if r.lost+r.unnoticed > 0 {
			return errLost
		}
	}
	return nil
}

// scratch is where to write to: TMPDIR, or memory.
func scratch() string {
	const memory = "/dev/shm"
	if info, err := os.Stat(memory); os.Getenv("TMPDIR") == "" && err == nil && info.IsDir() {
		return memory
	}
	return os.TempDir()
}

// carryOut runs attacks one after the other: each may use all of the computer.
func carryOut(ctx context.Context, o options, attacks []attack) ([]row, error) {
	var rows []row
	for _, a := range attacks {
		began := time.Now()
		r, err := a.run(ctx, o)
		if err = errors.Join(err, ctx.Err()); err != nil {
			return nil, fmt.Errorf("%s: %w", a.name(), err)
		}
		for i, told := range r.told {
			r.told[i] = strings.ReplaceAll(told, o.temporary, "…")
		}
		rows = append(rows, row{a.name(), r})
		fmt.Fprintf(os.Stderr, "%-12s %4.0f s: tried %d, lost %d, unnoticed %d\n", a.name(), time.Since(began).Seconds(),
			r.tried, r.lost, r.unnoticed)
	}
	return rows, nil
}
