package record

import (
	"time"

	"loopwitness/commission/journal"
)

// The law of clocks.
const (
	// LawClocksAgree: within a run the time of day and the run's own clock go together, but
	// for steps and sleep that entries tell.
	LawClocksAgree Law = "clocks-agree"
)

var clockLaws = []rule{
	{law: LawClocksAgree, consequence: Limits, entry: (*Record).clocksApart},
}

const (
	// clockNoise is the largest step that is not told. NTP (RFC 5905, STEPT, looked up) slews
	// what is less than 125 ms; what is noticed is more than 100 ms (StepNoticed).
	clockNoise = 150 * time.Millisecond
	// StepNoticed is the least step of the time of day that is told.
	StepNoticed = 100 * time.Millisecond
	// slewed is the fastest that a time of day is moved without a step: NTP's 500 ppm
	// (RFC 5905, MAXFREQ, from memory), doubled.
	slewed = 1000e-6
)

// clocksApart tells whether the two clocks of an entry have moved apart since the entry
// before.
func (r *Record) clocksApart(e journal.Entry, f Fact) bool {
	if e.Run != r.run || r.entries == 0 {
		return false
	}
	since := e.Elapsed - r.elapsed
	apart := e.At.Sub(r.latest) - since
	switch f := f.(type) {
	case Absent:
		apart -= time.Duration(f.SleptNS)
	case ClockStepped:
		apart -= time.Duration(f.ByNS)
	}
	return apart.Abs() > clockNoise+time.Duration(slewed*float64(since.Abs()))
}
