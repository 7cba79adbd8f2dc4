package visit

import (
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
)

const (
	// lookEvery is how often the program looks whether it runs. A signal may be stamped so
	// much too late without its being noticed, which is within the uncertainty of every way
	// of listening.
	lookEvery = 20 * time.Millisecond
	// stopped is how long it must not have run to be told while nothing is timed.
	stopped = time.Second
)

// awake notices that the program did not run, that the computer slept, and that its time
// of day was set. Of a clock that is no computer's it notices nothing.
type awake struct {
	computer clock.Computer // nil where time is simulated

	mu     sync.Mutex
	begun  time.Time
	looked time.Time     // when the program was seen to run the last time; zero while nobody looks
	limit  time.Duration // of a trial that waits: by more it must not have been late
	late   time.Duration // at most, since the cue of the trial
	ahead  time.Duration // of the time of day, against the clock of durations
	slept  time.Duration // as far as it was told
	stalls []stall       // of late, for what is timed afterwards
}

// stall is a time in which the program did not run, up to an instant, but for the first
// lookEvery of it: what came then was stamped so much too late at most.
type stall struct {
	until time.Time
	late  time.Duration
}

const (
	// leastStall is not worth keeping.
	leastStall = 2 * time.Millisecond
	mostStalls = 4096
)

func newAwake(c clock.Clock) *awake {
	a := &awake{limit: stopped}
	if a.computer, _ = c.(clock.Computer); a.computer != nil {
		a.begun = c.Now()
		a.slept = a.computer.Slept()
	}
	return a
}

// begin begins to look.
func (a *awake) begin(now time.Time) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.looked = now
}

// look tells for how long the program did not run before now, if that is too long.
func (a *awake) look(now time.Time) (absent time.Duration) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.looked.IsZero() {
		return 0
	}
	gap := now.Sub(a.looked)
	late := gap - lookEvery
	a.looked, a.late = now, max(a.late, late)
	if late >= leastStall {
		if len(a.stalls) >= mostStalls {
			a.stalls = append(a.stalls[:0], a.stalls[mostStalls/2:]...)
		}
		a.stalls = append(a.stalls, stall{now, late})
	}
	if late <= a.limit {
		return 0
	}
	return gap
}

// moved are what became of the time of day up to an instant: the computer slept, its clock
// was set, or both, one after the other. Instants are given in the order in which they are
// written.
func (a *awake) moved(at time.Time) (came []arrival) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.computer == nil {
		return nil
	}
	ahead := a.computer.TimeOfDay(at).Sub(a.computer.TimeOfDay(a.begun)) - at.Sub(a.begun)
	by := ahead - a.ahead
	a.ahead = ahead
	if by.Abs() <= record.StepNoticed {
		return nil
	}
	if slept := a.computer.Slept() - a.slept; slept > record.StepNoticed {
		a.slept += slept
		by -= slept
		came = append(came, arrival{at: at, fact: record.Absent{SleptNS: slept.Nanoseconds()}})
	}
	if by.Abs() > record.StepNoticed {
		for i := range came { // it was not set yet
			came[i].unset = by
		}
		came = append(came, arrival{at: at, fact: record.ClockStepped{ByNS: by.Nanoseconds()}})
	}
	return came
}

// lateBetween is by how much the program was late at most between two instants.
func (a *awake) lateBetween(from, to time.Time) (most time.Duration) {
	a.mu.Lock()
	defer a.mu.Unlock()
	for _, s := range a.stalls {
		if s.until.After(from) && s.until.Add(-s.late-lookEvery).Before(to) {
			most = max(most, s.late)
		}
	}
	return most
}

// timesSince begins to time a trial, by which signals must not be stamped later than the limit,
// and were by so much already.
func (a *awake) timesSince(limit, late time.Duration) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.limit, a.late = limit, min(late, limit)
}

// timed ends it, and is by how much the program was late at most, in whole milliseconds.
func (a *awake) timed() time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	late := min(a.late, a.limit) // beyond that it was absent
	a.limit, a.late = stopped, 0
	return late.Truncate(time.Millisecond)
}

// keepLooking looks all the while, until it is stopped.
func (v *Visit) keepLooking() (stop func()) {
	if v.awake.computer == nil {
		return func() {}
	}
	v.awake.begin(v.clock.Now())
	over := make(chan struct{})
	var looking sync.WaitGroup
	looking.Go(func() {
		defer v.recovered("watching the clocks")
		tick := time.NewTicker(lookEvery)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				v.lookAround(v.clock.Now())
			case <-over:
				return
			}
		}
	})
	return func() {
		close(over)
		looking.Wait()
	}
}

// lookAround lets wait for the disk what became of the program and its clocks, if anything
// did. It holds nothing that a slow disk holds.
func (v *Visit) lookAround(now time.Time) bool {
	found := arrival{at: now}
	if absent := v.awake.look(now); absent > 0 {
		found.fact = record.Absent{LastedNS: absent.Nanoseconds()}
	} else if !v.awake.astray(now) {
		return false
	}
	return v.intake.put(found)
}

// astray tells whether the time of day has moved since the last entry.
func (a *awake) astray(now time.Time) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.computer == nil {
		return false
	}
	ahead := a.computer.TimeOfDay(now).Sub(a.computer.TimeOfDay(a.begun)) - now.Sub(a.begun)
	return (ahead - a.ahead).Abs() > record.StepNoticed
}

// withMoves puts before each arrival what became of the time of day until then. One without
// a fact is only there for that.
func (v *Visit) withMoves(all []arrival) (out []arrival) {
	for _, a := range all {
		out = append(out, v.awake.moved(a.at)...)
		if a.fact != nil {
			out = append(out, a)
		}
	}
	return out
}

// timeOfDay is the time that the entry of an arrival tells.
func (v *Visit) timeOfDay(a arrival) time.Time {
	if v.awake.computer == nil {
		return a.at
	}
	return v.awake.computer.TimeOfDay(a.at).Add(-a.unset)
}

// toldOf counts what the technician was told of.
type toldOf struct {
	lost, absences, steps int
	faults                int  // the entry of the latest report of a fault of the supply
	calls, bodies         bool // that calls were turned away, and some for their bodies
}

// befell tells what came to pass since the technician was told last: signals that were
// lost, a sleep or stop, a clock that was set.
func (v *Visit) befell(r *record.Record, say func(ask.Notice)) {
	if n := r.Lost() - v.told.lost; n > 0 {
		v.told.lost += n
		say(ask.SignalsLost{Signals: n})
	}
	v.faultsTold(r, say)
	v.callsTold(say)
	absences, steps := r.Absences(), r.ClockSteps()
	for _, a := range absences[v.told.absences:] {
		if !a.Trial && (a.Asleep || a.Lasted >= stopped) { // of a trial it is told with its being void
			say(ask.WasAbsent{Lasted: a.Lasted, Asleep: a.Asleep})
		}
	}
	for _, s := range steps[v.told.steps:] {
		say(ask.ClockWasSet{By: s.By, AtLeast: s.AtLeast})
	}
	v.told.absences, v.told.steps = len(absences), len(steps)
}
