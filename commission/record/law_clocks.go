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
	// runNoise is what steps that are not told, and sleeps as short, may come to in a run beyond
	// what is slewed: twenty of the largest one way, where a computer's clock makes none in most
	// days (*common practice, no source*).
	runNoise = 2 * time.Second
	// slewed is the fastest that a time of day is moved without a step: NTP's 500 ppm
	// (RFC 5905, MAXFREQ, from memory), doubled.
	slewed = 1000e-6
)

// clocksApart tells whether the two clocks of an entry have moved apart: since the entry
// before, or, little by little, since the run began.
func (r *Record) clocksApart(e journal.Entry, f Fact) bool {
	if e.Run != r.run || r.entries == 0 {
		return false
	}
	since := e.Elapsed - r.elapsed
	apart := e.At.Sub(r.latest) - since - movedBy(f)
	return beyond(apart, clockNoise, since) || beyond(r.memory.drift+apart, runNoise, e.Elapsed)
}

// drifts keeps how far the clocks have moved apart in the run. What was told as a breach
// does not count again.
func (r *Record) drifts(e journal.Entry, f Fact) {
	if r.clocksApart(e, f) {
		r.memory.drift = 0
	} else if e.Run == r.run {
		r.memory.drift += e.At.Sub(r.latest) - (e.Elapsed - r.elapsed) - movedBy(f)
	}
}

// movedBy is by how much an entry says that the time of day moved.
func movedBy(f Fact) time.Duration {
	switch f := f.(type) {
	case Absent:
		return time.Duration(f.SleptNS)
	case ClockStepped:
		return time.Duration(f.ByNS)
	}
	return 0
}

// beyond tells whether clocks are farther apart than a noise and what a clock is slewed by in
// a time.
func beyond(apart, noise, since time.Duration) bool {
	return apart.Abs() > noise+time.Duration(slewed*float64(since.Abs()))
}
