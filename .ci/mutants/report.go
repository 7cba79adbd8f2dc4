package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"text/tabwriter"
)

// tally counts what became of a target's mutants.
type tally struct {
	all, killed, late, survived, unreached, allowed, notCompiled int
}

func count(t *target) tally {
	var c tally
	for _, m := range t.mutants {
		if m.out == doesNotCompile {
			c.notCompiled++
		}
		if m.out != "" {
			continue
		}
		c.all++
		switch {
		case m.reason != "":
			c.allowed++
		case m.fate == killedLate:
			c.late++
			c.killed++
		case m.fate == killed:
			c.killed++
		case m.fate == survived:
			c.survived++
		case m.fate == unreached:
			c.unreached++
		}
	}
	return c
}

// percent is the share of all mutants that was killed; one that is allowed to live
// counts against it like any other.
func (c tally) percent() float64 {
	if c.all == 0 {
		return 100
	}
	return 100 * float64(c.killed) / float64(c.all)
}

// report prints what became of the mutants, and each that lives.
func report(out io.Writer, targets []*target) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "package\tmutants\tkilled\tby time\tsurvived\tnot reached\tallowed\tkilled, %\tdo not compile\t")
	for _, t := range targets {
		c := count(t)
		fmt.Fprintf(w, "%s\t%d\t%d\t%d\t%d\t%d\t%d\t%.1f\t%d\t\n", t.name, c.all, c.killed, c.late, c.survived, c.unreached,
			c.allowed, c.percent(), c.notCompiled)
	}
	w.Flush()
	for _, t := range targets {
		for _, f := range []fate{survived, unreached} {
			printAll(out, t, fmt.Sprintf("%s, %s:", t.name, f), func(m *mutant) bool { return m.fate == f && m.reason == "" })
		}
		printAll(out, t, t.name+", allowed:", func(m *mutant) bool { return m.reason != "" })
	}
}

func printAll(out io.Writer, t *target, head string, which func(*mutant) bool) {
	for _, m := range sorted(t.mutants) {
		if !which(m) {
			continue
		}
		if head != "" {
			fmt.Fprintf(out, "\n%s\n", head)
			head = ""
		}
		fmt.Fprintln(out, m)
		if m.reason != "" {
			fmt.Fprintln(out, "\t"+m.reason)
		}
	}
}

// sorted lists mutants by their places.
func sorted(mutants []*mutant) []*mutant {
	return slices.SortedFunc(slices.Values(mutants), func(a, b *mutant) int {
		return cmp.Or(cmp.Compare(a.file, b.file), cmp.Compare(a.position.Offset, b.position.Offset), cmp.Compare(a.id, b.id))
	})
}
