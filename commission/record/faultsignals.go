package record

import (
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// The answers about a fault of the supply that a technician watched for.
const (
	AtController Result = "at the controller" // shown there, and gone again
	AtCentre     Result = "at the centre"     // received there, and its end as well
	NotCleared   Result = "not cleared"       // shown, and there still
	NotSeen      Result = "not seen"
	// AsTold is no answer of a person: what the controller told, or did not, stands in the
	// journal, and no more was waited for.
	AsTold Result = "as told"
)

// BeforeSaid is how long before somebody said that it was done a thing may have been done:
// who pulls a plug walks back to the screen (*common practice, no source*).
const BeforeSaid = 2 * time.Minute

// FaultActWithin is how long who is asked to remove something, and to say so at once, takes
// between the two (*common practice, no source*): a time since then is known no better.
const FaultActWithin = 10 * time.Second

// FaultSignal is what became of one fault of the supply after its cause was made last: mains
// was removed, or the battery disconnected.
type FaultSignal struct {
	Aspect signal.Aspect
	Made   time.Time // as it was said
	Ended  time.Time // as it was said; zero while it lasts
	// Lasted is how much of the cause was watched; Since how much since it ended.
	Lasted, Since time.Duration
	// Told tells that the source delivered the aspect when the cause was made.
	Told bool
	// Cut tells that a report may have been missed while the cause lasted, and CutAfter that
	// its end may have been since.
	Cut, CutAfter bool
	// Before tells that the fault was reported before there was a cause for it.
	Before bool
	// Lapsed tells that it was told to be gone while its cause lasted.
	Lapsed            bool
	Reported, Cleared *Noticed // nil for never

	absent                  bool // it was told to be absent before
	madeWatched, endWatched time.Duration
	madePassed, endPassed   time.Duration
}

// Noticed is a report of the controller, and how long after its cause it came: what was
// watched of that, and all that passed at most. The cause may have been made up to
// BeforeSaid before it was said.
type Noticed struct {
	At     time.Time
	Entry  int
	After  time.Duration
	AtMost time.Duration
	// Kept tells that it came at some time before, while nobody listened.
	Kept bool
	// Early tells that it came before the cause was said: After is 0 then.
	Early bool
}

// FaultSignal is what became of a fault of the supply, false where its cause was never made.
func (r *Record) FaultSignal(a signal.Aspect) (FaultSignal, bool) {
	f := r.faults[a]
	if f == nil {
		return FaultSignal{}, false
	}
	out := *f
	out.Reported, out.Cleared = copied(f.Reported), copied(f.Cleared)
	out.Lasted, out.Since = r.watchedOf(f, r.watched.top)
	return out, true
}

// FaultLasts is how long a fault's cause has been watched at an instant of this run, counted
// from its first entry, and how long since it ended.
func (r *Record) FaultLasts(a signal.Aspect, elapsed time.Duration) (lasted, since time.Duration) {
	if f := r.faults[a]; f != nil {
		return r.watchedOf(f, elapsed)
	}
	return 0, 0
}

func (r *Record) watchedOf(f *FaultSignal, elapsed time.Duration) (lasted, since time.Duration) {
	if f.Ended.IsZero() {
		return r.Watched(elapsed) - f.madeWatched, 0
	}
	return f.endWatched - f.madeWatched, r.Watched(elapsed) - f.endWatched
}

// BatteryOff is when the battery was disconnected; zero when it is connected.
func (r *Record) BatteryOff() time.Time { return r.batteryOff }

// faultStep is the step about a fault.
var faultStep = map[signal.Aspect]string{signal.MainsFault: programme.IDMainsFault,
	signal.BatteryFault: programme.IDBatteryFault}

// suppliesAnswered follows what is done to mains and battery.
func (r *Record) suppliesAnswered(e journal.Entry, a Answer) {
	done := a.Result == Done
	switch a.Step {
	case programme.IDMainsOff:
		r.cause(e, signal.MainsFault, done)
	case programme.IDMainsOn:
		r.causeEnds(e, signal.MainsFault, done)
	case programme.IDBatteryOff:
		r.batteryOff = time.Time{}
		if r.cause(e, signal.BatteryFault, done); done {
			r.batteryOff = e.At
			r.unsettle(programme.IDBatteryOn) // it has to be connected again
		}
	case programme.IDBatteryOn:
		if r.causeEnds(e, signal.BatteryFault, done); done {
			r.batteryOff = time.Time{}
		}
	}
}

// cause begins the cause of a fault, or takes it back.
func (r *Record) cause(e journal.Entry, a signal.Aspect, done bool) {
	before := r.faults[a]
	delete(r.faults, a)
	r.unsettle(faultStep[a])
	if !done {
		return
	}
	f := &FaultSignal{Aspect: a, Made: e.At, Told: r.Tells(a), madeWatched: r.Watched(e.Elapsed),
		madePassed: r.passed(e.Elapsed)}
	r.faults[a] = f
	is, known := r.IsNow(a)
	f.absent = known && !is
	if !is {
		return
	}
	last := r.lastTold(a)
	counted := before != nil && before.Reported != nil && before.Reported.Entry >= last.Entry
	if counted && before.Ended.IsZero() { // its cause lasts; it was said again
		f.Reported = &Noticed{At: last.At, Entry: last.Entry, Early: true}
		return
	}
	if f.Before = last.Kept != "" || counted || e.Run != last.Run || e.Elapsed-last.Elapsed > BeforeSaid; !f.Before {
		f.Reported = &Noticed{At: last.At, Entry: last.Entry, Early: true}
	}
}

// lastTold is what was told last of an aspect.
func (r *Record) lastTold(a signal.Aspect) Told {
	for i := len(r.told) - 1; i >= 0; i-- {
		if r.told[i].Aspect == a {
			return r.told[i]
		}
	}
	return Told{}
}

// causeEnds ends the cause of a fault.
func (r *Record) causeEnds(e journal.Entry, a signal.Aspect, done bool) {
	f := r.faults[a]
	if f == nil || !done || !f.Ended.IsZero() {
		return
	}
	f.Ended, f.endWatched, f.endPassed = e.At, r.Watched(e.Elapsed), r.passed(e.Elapsed)
	is, known := r.IsNow(a)
	if f.Reported == nil || is || !known {
		return
	}
	last := r.lastTold(a)
	f.Lapsed = last.Kept != "" || e.Run != last.Run || e.Elapsed-last.Elapsed > BeforeSaid
	f.Cleared = &Noticed{At: last.At, Entry: last.Entry, Early: true}
	r.faultConcluded(e, f)
}

// faultTold takes what the controller told of a fault of its supply. What was kept counts
// where it was known before that it was not so: else it may be of any time.
func (r *Record) faultTold(e journal.Entry, s signal.System) {
	f := r.faults[s.Aspect]
	if f == nil {
		return
	}
	noticed := func(watched, passed time.Duration) *Noticed {
		return &Noticed{At: e.At, Entry: e.N, After: r.Watched(e.Elapsed) - watched, AtMost: r.passed(e.Elapsed) - passed,
			Kept: s.Kept != ""}
	}
	switch {
	case s.Present && f.Ended.IsZero() && f.Reported == nil && !f.Before && (s.Kept == "" || f.absent):
		f.Reported = noticed(f.madeWatched, f.madePassed)
	case !s.Present && !f.Ended.IsZero() && f.Reported != nil && f.Cleared == nil:
		f.Cleared = noticed(f.endWatched, f.endPassed)
		r.faultConcluded(e, f)
	}
}

// faultConcluded concludes the step about a fault that was reported and cleared: nobody is
// asked.
func (r *Record) faultConcluded(e journal.Entry, f *FaultSignal) {
	if o := r.index[faultStep[f.Aspect]]; o != nil && !o.settled {
		r.settle(o, e)
	}
}

// aspectsUnknown tells that what the controller says of itself may have changed unheard: all of it
// but what still is heard, nil for nothing.
func (r *Record) aspectsUnknown(still func(signal.Aspect) bool) {
	for a := range r.aspects {
		if still == nil || !still(a) {
			delete(r.aspects, a)
		}
	}
	for a, f := range r.faults {
		if still != nil && still(a) {
			continue
		}
		f.Cut = f.Cut || f.Ended.IsZero() && f.Reported == nil
		f.CutAfter = f.CutAfter || !f.Ended.IsZero() && f.Cleared == nil
	}
}
