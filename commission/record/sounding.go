package record

import (
	"fmt"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

// sounding is when an output was switched on the last time, and for how long it was on.
type sounding struct {
	since  time.Time
	passed time.Duration // the same, on the clock of passed
	lasted time.Duration // 0 while it may be on
	// elapsed, run, entry and by are those of the entry that tells it.
	elapsed    time.Duration
	run, entry int
	by         Switched
	absences   int // that there were before
	// because is why it was switched off in the middle, answeredOff that it was answered after
	// it went off whether it was heard or seen.
	because     OffBecause
	answeredOff bool
}

// switched takes an output that was switched on or off; one that is on already, and is
// told so once more since it could not be switched off, has been on since before.
func (r *Record) switched(e journal.Entry, f Energised) {
	s := r.sounded[f.Output]
	switch {
	case f.On && !r.on[f.Output]:
		r.sounded[f.Output] = sounding{since: e.At, passed: r.passed(e.Elapsed), elapsed: e.Elapsed, run: e.Run,
			entry: e.N, by: f.By, absences: len(r.absences)}
		r.on[f.Output] = true
	case !f.On && r.on[f.Output]:
		s.lasted, s.because = r.passed(e.Elapsed)-s.passed, f.Because
		r.sounded[f.Output] = s
		delete(r.on, f.Output)
	}
}

// Sounded is how long an output was on the last time, from the one entry to the other.
// It is false while it may be on, and before it was.
func (r *Record) Sounded(output string) (time.Duration, bool) {
	s, was := r.sounded[output]
	return s.lasted, was && !r.on[output]
}

// On is how long an output was on the last time before it was answered whether it works,
// 0 where that is not known. What it is energised for later, as under alarm load, is no
// part of its trial.
func (s *Outcome) On() time.Duration { return s.on }

// Energised tells whether an output was on for its own step when it was answered; what it is
// energised for otherwise, as under alarm load, is no trial of it.
func (s *Outcome) Energised() bool { return s.energised }

// FailedAfter tells whether the output was answered not to work after a reading, even if it works by now: what was read
// under alarm load was then read without it.
func (s *Outcome) FailedAfter(t *Taken) bool { return t != nil && s.failedEntry > t.Entry }

// OffBecause is why the output was switched off in the middle of its trial, "" where it was
// not; after tells that it was answered after it went off whether it was heard or seen.
func (s *Outcome) OffBecause() (why OffBecause, after bool) { return s.because, s.afterOff }

// WentOff is when an output that was on went off, after how long, and why. It is false while
// it may be on, and before it was.
func (r *Record) WentOff(output string) (at time.Time, lasted time.Duration, why OffBecause, is bool) {
	s, was := r.sounded[output]
	return s.since.Add(s.lasted), s.lasted, s.because, was && !r.on[output]
}

// OnSince is when an output was switched on the last time, zero if it never was.
func (r *Record) OnSince(output string) time.Time { return r.sounded[output].since }

// LoadedAll tells whether all that an alarm energises may be on.
func (r *Record) LoadedAll() bool {
	all := r.site.AlarmOutputs()
	for _, o := range all {
		if !r.on[o.Name] {
			return false
		}
	}
	return len(all) > 0
}

// loaded tells whether what a step reads with is on.
func (r *Record) loaded(s programme.Step) bool {
	if s.Load {
		return r.LoadedAll()
	}
	return r.on[s.Output]
}

// shortOf is by how much a time that a person took may be longer than the entries tell.
const shortOf = time.Second

// cutOffFits refuses a time after which an output stopped by itself that is longer than
// it was on.
func (r *Record) cutOffFits(e journal.Entry, s programme.Step, f Reading) error {
	if f.Quantity != CutOffReading {
		return nil
	}
	span, was := r.sounded[s.Output]
	lasted := span.lasted
	if r.on[s.Output] {
		lasted = r.passed(e.Elapsed) - span.passed
	}
	if !was || f.Value > (lasted+shortOf).Seconds() {
		return fmt.Errorf("%w: %s was on for %s, and cannot have stopped after %g s", ErrNoSense, s.Output, lasted, f.Value)
	}
	return nil
}
