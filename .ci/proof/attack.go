package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"
	"time"
)

// attack is a row of the table.
//
// To add one: a file that is called as the row, with a type that implements attack; its
// place in attacks; a test that the row can fail, best with a program or a file that was
// spoiled on purpose (see outcome_test.go). run draws whatever it draws from o.seed, does
// less where o.short is set (o.of), writes below o.temporary only (o.folder), bounds whatever
// could hang, and counts with a tally:
//
//	func (forgeries) name() string { return "forgeries" }
//
//	func (forgeries) run(ctx context.Context, o options) (result, error) {
//		t := newTally()
//		for _, f := range forged {
//			t.try(f.name, f.facing(ctx, o))  // nil: survived; unnoticed{…}: unnoticed; else: lost
//		}
//		t.note("%d laws", len(forged))
//		return t.result(), nil
//	}
//
// An error that run returns says that the proof itself could not be run, and nothing of
// the program. What the computer lacks is notTried(what), which is an error where
// LOOPWITNESS_OUTSIDE_TOOLS says that everything is installed.
type attack interface {
	// name is one word, for the table and for -only.
	name() string
	run(ctx context.Context, o options) (result, error)
}

// attacks are all rows, in the order of the table.
var attacks = []attack{kills{}, brokerKills{}, power{}, fullDisk{}, brokerFaults{},
	clocks{}, stops{}, forged{}, tamperedFiles{}, hostileFiles{}}

func names(attacks []attack) (all []string) {
	for _, a := range attacks {
		all = append(all, a.name())
	}
	return all
}

// result is what came of an attack.
type result struct {
	tried, survived, lost, unnoticed int
	sounder                          string   // longest time that one was on, in words; "" where none was
	notes                            []string // for the table, short
	told                             []string // one for each that was lost or unnoticed
}

// notTried is the result where the computer lacks something.
func notTried(lacks string) (result, error) {
	if os.Getenv("LOOPWITNESS_OUTSIDE_TOOLS") != "" {
		return result{}, errors.New(lacks)
	}
	return result{notes: []string{"not tried: " + lacks}}, nil
}

// row is a line of the table.
type row struct {
	name string
	result
}

// tally counts, for several goroutines.
type tally struct {
	mu      sync.Mutex
	r       result
	sounder time.Duration // longest
	counts  map[string]int
	order   []string // of counts
}

func newTally() *tally { return &tally{counts: map[string]int{}} }

// unnoticed is what was spoiled and the program did not say so.
type unnoticed struct{ what string }

func (u unnoticed) Error() string { return u.what }

// try counts one attempt: nil survived.
func (t *tally) try(what string, came error) { t.tryMany(1, what, came) }

// tryMany counts several attempts, or none, that one check is about; where it fails, one of
// them was lost.
func (t *tally) tryMany(n int, what string, came error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if came != nil {
		n = max(n, 1)
	}
	t.r.tried += n
	t.r.survived += n
	if came == nil {
		return
	}
	t.r.survived--
	if _, is := came.(unnoticed); is {
		t.r.unnoticed++
	} else {
		t.r.lost++
	}
	t.r.told = append(t.r.told, what+": "+came.Error())
}

// note adds a remark to the row.
func (t *tally) note(format string, args ...any) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.r.notes = append(t.r.notes, fmt.Sprintf(format, args...))
}

// count counts something that the row's note tells: "12 torn lines".
func (t *tally) count(what string, n int) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if _, known := t.counts[what]; !known {
		t.order = append(t.order, what)
	}
	t.counts[what] += n
}

// verdictsOf counts the verdicts on detectors that are compared.
func (t *tally) verdictsOf(o outcome) {
	n := 0
	for key := range o {
		if strings.HasPrefix(key, "verdict ") {
			n++
		}
	}
	t.count("detectors' verdicts compared", n)
}

// mark notes something once.
func (t *tally) mark(seen map[string]bool, what string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	seen[what] = true
}

// sounded notes how long a sounder was on after an attack.
func (t *tally) sounded(d time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.sounder = max(t.sounder, d)
}

// result is what was counted.
func (t *tally) result() result {
	t.mu.Lock()
	defer t.mu.Unlock()
	r := t.r
	for _, what := range t.order {
		if n := t.counts[what]; n > 0 {
			r.notes = append(r.notes, fmt.Sprintf("%d %s", n, what))
		}
	}
	if r.sounder == "" && t.sounder > 0 {
		r.sounder = fmt.Sprintf("%.2f s", t.sounder.Seconds())
	}
	return r
}
