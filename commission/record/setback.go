package record

import (
	"time"

	"loopwitness/commission/journal"
)

// AfterRest is part of every fact that may begin a run, and says what became of the time of
// day while no program ran.
type AfterRest struct {
	// SetBackNS is by how much, at least, the clock that shows the time of day was set back
	// since the entry before, in nanoseconds: by so much it was later. 0 where it was not.
	SetBackNS int64 `json:"set_back_nanosecond,omitempty"`
}

func (a AfterRest) setBack() time.Duration { return time.Duration(a.SetBackNS) }

// SetBack is what is known, at a time of day at which a run begins, of the clock's having
// been set back while no program ran. Simulated times begin anew with each run.
func (r *Record) SetBack(now time.Time) AfterRest {
	if by := r.latest.Sub(now); by > StepNoticed && !r.TimeSimulated() {
		return AfterRest{SetBackNS: by.Nanoseconds()}
	}
	return AfterRest{}
}

// RestedUntil is a fact that is added between runs, with what SetBack knows.
func RestedUntil(f Fact, a AfterRest) Fact {
	switch f := f.(type) {
	case Photographed:
		f.AfterRest = a
		return f
	case Discarded:
		f.AfterRest = a
		return f
	case Corrected:
		f.AfterRest = a
		return f
	case TakenBack:
		f.AfterRest = a
		return f
	}
	return f
}

// setBackBy is by how much a fact says that the clock was set back before it.
func setBackBy(f Fact) time.Duration {
	if begins, is := f.(interface{ setBack() time.Duration }); is {
		return begins.setBack()
	}
	return 0
}

// wasSetBack takes what the first entry of a run says of the clock.
func (r *Record) wasSetBack(e journal.Entry, f Fact) {
	if by := setBackBy(f); by != 0 {
		r.clockSteps = append(r.clockSteps, ClockStep{At: e.At, By: -by, AtLeast: true})
	}
}

// beginsBefore tells whether a run begins before the one before it was over, and does not say
// that the clock was set back by just so much; or an entry says so of a clock that was not.
func (r *Record) beginsBefore(e journal.Entry, f Fact) bool {
	back, told := r.latest.Sub(e.At), setBackBy(f)
	switch {
	case told != 0:
		return e.Run == r.run || told != back || told < 0
	case e.Run == r.run:
		return false
	}
	return !r.TimeSimulated() && back > betweenRunsBack
}
