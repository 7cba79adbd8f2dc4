package record

import (
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The laws of trials.
const (
	// LawNotAtOnce: no answer comes in the very instant of its cue.
	LawNotAtOnce Law = "not-at-once"
	// LawNotAllFast: not many come faster than a controller can report.
	LawNotAllFast Law = "not-all-fast"
	// LawPerson: what a person presses is pressed no sooner than a person can.
	LawPerson Law = "person"
	// LawRestarts: a controller needs time to start.
	LawRestarts Law = "restarts"
	// LawChimeFollows: a chime follows its zone.
	LawChimeFollows Law = "chime-follows"
	// LawReady: who is told to operate said before that they stand ready.
	LawReady Law = "ready"
	// LawWaits: a wait that ends by itself ends when its time is up.
	LawWaits Law = "waits"
	// LawTouch: a cue by a touch stands at the instant of the touch.
	LawTouch Law = "touch"
	// LawTouchBounds: a touch has bounds that a clock can have.
	LawTouchBounds Law = "touch-bounds"
	// LawOwnOrder: what nobody was told to do is timed by a touch alone, and its restore not at all.
	LawOwnOrder Law = "own-order"
	// LawOnce: no report counts for two trials, and none from before its run.
	LawOnce Law = "once"
	// LawLateness: no watch is late for longer than it lasted.
	LawLateness Law = "lateness"
)

var trialLaws = []rule{
	{law: LawNotAtOnce, consequence: Limits, end: func(r *Record) []int { return r.answeredWithin(atOnce) }},
	{law: LawNotAllFast, consequence: Limits, end: (*Record).allFast},
	{law: LawPerson, consequence: Limits, entry: (*Record).fasterThanAPerson},
	{law: LawRestarts, consequence: Limits, end: (*Record).restartedAtOnce},
	{law: LawChimeFollows, consequence: Limits, end: (*Record).heardAlone},
	{law: LawReady, consequence: Limits, entry: (*Record).cuedUnready},
	{law: LawWaits, consequence: Limits, entry: (*Record).endedEarly},
	{law: LawTouch, consequence: Limits, entry: touchedElsewhen},
	{law: LawTouchBounds, consequence: Refused},
	{law: LawOwnOrder, consequence: Refused},
	{law: LawOnce, consequence: Refused},
	{law: LawLateness, consequence: Limits, entry: func(r *Record, e journal.Entry, f Fact) bool {
		ended, is := f.(Ended)
		return is && r.trial != nil && ended.By == ByTime && time.Duration(ended.LateNS) > r.SinceCue(e.Elapsed)
	}},
}

const (
	// Soonest is how soon after a cue a person can press a key for what they saw: nobody
	// reacts faster (simple reactions average 0.16 s and more; Kosinski, Woods et al. 2015).
	Soonest = 100 * time.Millisecond
	// atOnce is a time in which nothing can come of a cue. Who moves before they are told to
	// may hit it, once in ten thousand trials in which they do so within a second.
	atOnce = 10 * time.Microsecond
	// fast is a time in which no contact, controller and network report (*common practice, no
	// source*). Who moves too early may hit it now and then, but not often.
	fast     = 10 * time.Millisecond
	mostFast = 2
	oneIn    = 10
)

// touchedElsewhen tells whether a cue is at another instant than the touch that gave it, or
// is said to be known better than that.
func touchedElsewhen(_ *Record, e journal.Entry, f Fact) bool {
	c, is := f.(Cue)
	if m, of := f.(Moment); of {
		c, is = Cue{Tap: m.Tap, BeforeNS: m.BeforeNS, UncertaintyNS: m.UncertaintyNS}, true
	}
	if !is || c.Tap == nil {
		return false
	}
	at, uncertainty := c.Tap.At()
	if c.BeforeNS == 0 && at > e.Elapsed { // it seemed to come before it was given
		return at-e.Elapsed > uncertainty || c.UncertaintyNS < int64(uncertainty)
	}
	return e.Elapsed-time.Duration(c.BeforeNS) != at || c.UncertaintyNS < int64(uncertainty)
}

// answeredWithin are the cues whose answer came within a time.
func (r *Record) answeredWithin(limit time.Duration) (entries []int) {
	for _, o := range r.outcomes {
		for _, a := range o.attempts {
			if a.Operate.answeredWithin(limit) {
				entries = append(entries, a.Operate.entry)
			}
			if a.Restore != nil && a.Restore.answeredWithin(limit) && !r.TimeSimulated() {
				entries = append(entries, a.Restore.entry)
			}
		}
	}
	return entries
}

func (t *Trial) answeredWithin(limit time.Duration) bool {
	if t.untimed != "" {
		return false
	}
	for _, report := range t.reports {
		if report.to == t.wanted() {
			return report.since < limit
		}
	}
	return false
}

// allFast are the cues to operate whose answers came faster than any controller reports,
// where they are many.
func (r *Record) allFast() (entries []int) {
	operated := 0
	for _, o := range r.outcomes {
		for _, a := range o.attempts {
			if len(a.Operate.reports) == 0 {
				continue
			}
			if operated++; a.Operate.answeredWithin(fast) {
				entries = append(entries, a.Operate.entry)
			}
		}
	}
	if len(entries) <= mostFast || len(entries)*oneIn <= operated {
		return nil
	}
	return entries
}

// fasterThanAPerson tells whether a key was pressed sooner after a cue than anybody can.
func (r *Record) fasterThanAPerson(e journal.Entry, f Fact) bool {
	if r.trial == nil || r.SinceCue(e.Elapsed) >= Soonest {
		return false
	}
	switch f := f.(type) {
	case Ended:
		return f.By == ByHeard
	case signal.Signal:
		return r.Listening().ByHand && r.onTrial.step.Kind == programme.StepDetector
	}
	return false
}

// restartedAtOnce are the cues of restarts after which the controller reported sooner than
// anybody could have seen it.
func (r *Record) restartedAtOnce() (entries []int) {
	for _, o := range r.outcomes {
		for _, a := range o.attempts {
			t := a.Operate
			if o.step.Kind == programme.StepRestart && t.endedBy == ByTime && len(t.heard) > 0 && t.heard[0].Since < Soonest {
				entries = append(entries, t.entry)
			}
		}
	}
	return entries
}

// heardAlone are the ends of trials in which a chime was heard, and no report of its zone
// came with it or soon after, although the detector that was operated for it was proved: one
// that never reports may be wired to the chime all the same.
func (r *Record) heardAlone() (entries []int) {
	for _, p := range r.unfollowed {
		if o := r.walked(p.point); o != nil && o.Last() != nil && o.Last().Verdict().Proves() {
			entries = append(entries, p.n)
		}
	}
	return entries
}

// walked is the walk-test's step of a detector, or nil.
func (r *Record) walked(p site.Point) *Outcome {
	for _, o := range r.outcomes {
		if o.step.Stage == programme.StageWalkTest && o.step.Point == p {
			return o
		}
	}
	return nil
}

// follows tells whether the zone of a chime on trial reported, or was open before.
func (r *Record) follows() bool {
	t := r.trial
	if r.Listening().ByHand || t.before == signal.Active || len(t.reports) > 0 {
		return true
	}
	for _, e := range r.recent.after(r.cue - soonAfter) {
		if e.by != "" || e.signal.Kept == "" && e.signal.Address == t.zone.Address {
			return true
		}
	}
	return false
}

// cuedUnready tells whether a cue to operate came in the instant of what was done before it,
// where time is not simulated: a key is pressed before it.
func (r *Record) cuedUnready(e journal.Entry, f Fact) bool {
	c, is := f.(Cue)
	return is && c.Half == Operate && c.BeforeNS == 0 && !r.TimeSimulated() &&
		e.Elapsed == r.memory.hands
}

// endedEarly tells whether a wait ended by itself before its time was up. What came in the
// last moments may have put it off while the end was being written.
func (r *Record) endedEarly(e journal.Entry, f Fact) bool {
	ended, is := f.(Ended)
	t := r.trial
	if !is || t == nil || ended.By != ByTime {
		return false
	}
	since, heard := r.SinceCue(e.Elapsed), len(t.heard)
	switch r.onTrial.step.Kind {
	case programme.StepRestart:
		return heard == 0 && since < 2*r.site.Limits.ColdRestart.Duration()
	case programme.StepChime:
		return since < t.rules.ListenFor
	}
	return since < t.Deadline() && (heard == 0 || since-t.heard[heard-1].Since > longestStall)
}
