package judge

import (
	"slices"
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// NotTimed are detectors that were proved to be reported, and restored, and whose response was
// not measured.
type NotTimed struct {
	Why       record.Untimed `json:"why"`
	Of        []site.Point   `json:"of"`
	OnStandby bool           `json:"on_standby,omitempty"` // when they were operated again there
}

// OnlyReported is a life-safety zone of which it was shown that its signal comes, and not
// even when.
type OnlyReported struct{}

// Code names the statement.
func (NotTimed) Code() string     { return "not-timed" }
func (OnlyReported) Code() string { return "only-reported" }

// Cues counts how it was told when detectors were to be operated, over all trials of the visit
// that were carried to their end.
type Cues struct {
	Told     int `json:"told"`      // by the program
	Touched  int `json:"touched"`   // by a touch of the phone
	Counted  int `json:"counted"`   // by the phone's count
	NotTimed int `json:"not_timed"` // nobody told, or it is not known well enough
	// Widest and Typical are half of the bounds of the phone's clock, at worst and in the middle
	// (the upper one of two) of all that was cued by a touch or a count.
	Widest  time.Duration `json:"clock_at_worst_nanosecond,omitempty"`
	Typical time.Duration `json:"clock_typically_nanosecond,omitempty"`
	// OwnClock: signals were keys of the phone that the touches were given with.
	OwnClock bool `json:"signals_by_the_same_clock,omitempty"`
}

// ByPhone tells whether any cue was given by a phone.
func (c Cues) ByPhone() bool { return c.Touched+c.Counted > 0 }

// findNotTimed lists detectors that were reported and not timed, one finding for each reason.
func (a *Assessment) findNotTimed() {
	for i, lines := range [][]DetectorLine{a.detectors, a.onStandby} {
		var all []NotTimed
		for _, d := range lines {
			if d.Verdict != record.Reported {
				continue
			}
			why := d.Operated.NotTimed
			at := slices.IndexFunc(all, func(n NotTimed) bool { return n.Why == why })
			if at < 0 {
				at, all = len(all), append(all, NotTimed{Why: why, OnStandby: i == 1})
			}
			all[at].Of = append(all[at].Of, d.Name.Point)
		}
		for _, n := range all {
			a.limit(Finding{Subject: Subject{Part: PartTimes}, What: n})
		}
	}
}

// stepsOf are the steps of the detectors that were not timed.
func (a *Assessment) stepsOf(n NotTimed) (steps []string) {
	lines := a.detectors
	if n.OnStandby {
		lines = a.onStandby
	}
	for _, d := range lines {
		if slices.Contains(n.Of, d.Name.Point) {
			steps = append(steps, d.Outcome.Step().ID)
		}
	}
	return steps
}

// countCues looks at every trial of a detector that says something.
func (a *Assessment) countCues() {
	var halves []time.Duration
	sameClock := a.record.Listening().ByHand
	for _, d := range slices.Concat(a.detectors, a.onStandby) {
		for _, attempt := range d.Outcome.Tried() {
			t := attempt.Operate
			tap := t.Tap()
			switch {
			case t.Judge().NotTimed != "":
				a.cues.NotTimed++
				continue
			case tap == nil:
				a.cues.Told++
				continue
			case tap.By == record.ByCount:
				a.cues.Counted++
			default:
				a.cues.Touched++
			}
			sameClock = sameClock && t.Held() == record.OnPhone
			_, half := tap.At()
			halves = append(halves, half)
		}
	}
	if len(halves) > 0 {
		slices.Sort(halves)
		a.cues.Widest, a.cues.Typical, a.cues.OwnClock = halves[len(halves)-1], halves[len(halves)/2], sameClock
	}
}
