package record

import (
	"fmt"
	"time"

	"loopwitness/commission/journal"
)

const kindShown = "shown"

// Shown tells that the cue in progress could be shown only now: the entry of the cue had to
// be on disk first, and the disk was slow. The trial counts from here.
type Shown struct {
	Step string `json:"step"`
}

// Kind names the entry.
func (Shown) Kind() string { return kindShown }

// shown lets the trial in progress begin with the entry. What was heard before it came
// before the cue.
func (r *Record) shown(e journal.Entry, f Shown) error {
	t := r.trial
	if t == nil {
		return nil // it was ended in the same moment
	}
	later := r.SinceCue(e.Elapsed)
	if r.onTrial.step.ID != f.Step || t.overdue || later < 0 {
		return fmt.Errorf("%w: a cue that was shown %s late", ErrNoSense, later)
	}
	heard := t.heard
	t.heard, t.reports, t.other, t.otherSince = nil, nil, nil, 0
	r.cue, t.at = e.Elapsed, t.at.Add(later)
	for _, h := range heard {
		h.Since -= later
		t.hear(h)
	}
	return nil
}

// ShownLate is by how much a cue has to be shown late to be told.
const ShownLate = 10 * time.Millisecond
