package record

import (
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The laws of times and of order.
const (
	// LawRunBegins: each run's clock begins at its first entry.
	LawRunBegins Law = "run-begins-its-clock"
	// LawRuns: runs are numbered from 1, rising by one.
	LawRuns Law = "runs-numbered"
	// LawHandsRise: what one technician does comes one after the other.
	LawHandsRise Law = "hands-rise"
	// LawNotLong: no entry waited longer for the disk than a disk that works lets it.
	LawNotLong Law = "not-long-before"
	// LawTimePasses: nobody answers many questions in the same instant.
	LawTimePasses Law = "time-passes"
	// LawRunsFollow: a run begins when the one before it was over, where time is not simulated.
	LawRunsFollow Law = "runs-follow"
	// LawEndsAfter: a visit ends after it began.
	LawEndsAfter Law = "ends-after"
	// LawDue: what is read after a time is not read before.
	LawDue Law = "due"
	// LawMainsInTurn: mains is removed before it is put back, and what needs either comes after.
	LawMainsInTurn Law = "mains-in-turn"
	// LawNothingBehind: nothing more is done once all is concluded.
	LawNothingBehind Law = "nothing-behind"
)

var timeLaws = []rule{
	{law: LawRunBegins, consequence: Refused,
		entry: func(r *Record, e journal.Entry, _ Fact) bool { return e.Run != r.run && e.Elapsed != 0 }},
	{law: LawRuns, consequence: Refused},
	{law: LawHandsRise, consequence: Limits, entry: (*Record).handsFallBack},
	{law: LawNotLong, consequence: Limits, entry: (*Record).longBefore},
	{law: LawTimePasses, consequence: Limits, entry: (*Record).standsStill},
	{law: LawRunsFollow, consequence: Limits, entry: (*Record).beginsBefore},
	{law: LawEndsAfter, consequence: Limits, end: (*Record).endsBefore},
	{law: LawDue, consequence: Limits, entry: (*Record).readBeforeDue},
	{law: LawMainsInTurn, consequence: Limits, entry: (*Record).mainsOutOfTurn},
	{law: LawNothingBehind, consequence: Limits, entry: func(r *Record, e journal.Entry, _ Fact) bool {
		return takenByHand[e.Kind] && e.Kind != kindOpened && r.Done()
	}},
}

const (
	// longestStall is how long an entry may have waited for the disk after it was stamped,
	// while later ones were written: the queue of signals bridges 13 s of a disk that stands
	// still, doubled (*common practice, no source*).
	longestStall = 30 * time.Second
	// mostAtOnce is how many entries in a row one technician may make in the same instant.
	// Each is synced before the next, which takes longer than any clock's tick.
	mostAtOnce = 40
	// betweenRunsBack is by how much the time of day may be less at the beginning of a run
	// than at the end of the one before, without its first entry telling so (see AfterRest).
	betweenRunsBack = 2 * time.Second
	// dueEarly is by how much an absence that was noticed later may have made a reading early.
	dueEarly = 2 * time.Second
)

// takenByHand are the kinds of entries that the one loop of the visit writes, each with the
// time of its writing. None but the first of all begins a run.
var takenByHand = map[string]bool{kindOpened: true, kindCue: true, kindAnswer: true, kindReopened: true,
	kindEntered: true, kindReading: true, kindInstrument: true, kindNote: true, kindSigned: true, kindPartAnswer: true,
	kindStruck: true, kindMoment: true, kindReceived: true}

// lawMemory is what the laws know of the entries of the present run so far.
type lawMemory struct {
	drift    time.Duration // of the time of day against the run's clock, as far as no entry tells it
	cued     time.Duration // the latest cue
	hands    time.Duration // latest entry that was taken by hand
	still    int           // how many of them came in that instant
	listened bool          // it was told how signals are received
	lost     lostLines     // connections that are told lost
	muted    []pending     // signals that came over one that is told broken
	unheard  []pending     // chimes that were heard before any report of their zone
}

// pending is an entry that breaks a law unless something follows soon.
type pending struct {
	n       int
	elapsed time.Duration
	address string
	point   site.Point // of a chime that was heard
	ear     signal.Way // that a signal came by
}

// soonAfter is how soon what is reported may follow what a person noticed, or a connection
// what came through it (*common practice, no source*).
const soonAfter = 15 * time.Second

// remember keeps what the laws need of an entry, before it is taken.
func (r *Record) remember(e journal.Entry, f Fact) {
	m := &r.memory
	if e.Run != r.run {
		*m = lawMemory{}
	} else {
		r.drifts(e, f)
	}
	if takenByHand[e.Kind] {
		if m.still++; e.Elapsed != m.hands {
			m.still = 1
		}
		m.hands = max(m.hands, e.Elapsed)
	}
	r.rememberOutputs(f)
	r.rememberSignals(e, f)
}

// handsFallBack tells whether an entry of the one loop is earlier than the one before.
func (r *Record) handsFallBack(e journal.Entry, _ Fact) bool {
	return takenByHand[e.Kind] && e.Elapsed < r.memory.hands
}

// longBefore tells whether an entry is so much earlier than what stands before it as none
// can have waited. A key is stamped where it was pressed, and may be told late.
func (r *Record) longBefore(e journal.Entry, _ Fact) bool {
	byKey := e.Kind == kindEnded || e.Kind == kindSignal && r.Listening().ByHand
	switch {
	case e.Run != r.run:
		return false
	case byKey:
		return r.trial != nil && r.SinceCue(e.Elapsed) < 0
	}
	return r.watched.top-e.Elapsed > longestStall
}

// standsStill tells whether time stands still over what a technician does, where it is not
// simulated.
func (r *Record) standsStill(e journal.Entry, _ Fact) bool {
	return takenByHand[e.Kind] && e.Elapsed == r.memory.hands && r.memory.still >= mostAtOnce && !r.TimeSimulated()
}

// endsBefore tells whether the visit ends before it began, by more than the clock is told to
// have been set back.
func (r *Record) endsBefore() []int {
	lasted := r.attended.Sub(r.begun)
	for _, s := range r.clockSteps {
		lasted -= min(0, s.By)
	}
	if lasted < -betweenRunsBack && !r.TimeSimulated() {
		return []int{r.entries}
	}
	return nil
}

// readBeforeDue tells whether a reading was taken before its time of watching had passed.
func (r *Record) readBeforeDue(e journal.Entry, f Fact) bool {
	reading, is := f.(Reading)
	if !is || r.index[reading.Step] == nil {
		return false
	}
	return r.ReadingDue(r.index[reading.Step].step, e.Elapsed) > dueEarly
}

// mainsOutOfTurn tells whether something was taken before mains was removed, or put back,
// that only comes after. Detectors are tried in any order.
func (r *Record) mainsOutOfTurn(_ journal.Entry, f Fact) bool {
	id := ""
	switch f := f.(type) {
	case Reading:
		id = f.Step
	case Answer:
		if f.Result == Done {
			id = f.Step
		}
	}
	o := r.index[id]
	if o == nil || id == r.ahead || o.step.Kind != programme.StepReading && o.step.Kind != programme.StepAct {
		return false
	}
	for _, before := range r.outcomes {
		if before == o {
			break
		}
		if before.step.Kind == programme.StepAct && !before.settled {
			return true
		}
	}
	return false
}
