package record

import (
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Half is what a trial asks of the technician.
type Half string

// Code names the half.
func (h Half) Code() string { return string(h) }

// The two halves of an attempt.
const (
	Operate Half = "operate"
	Restore Half = "restore"
)

// End is why a wait ended.
type End string

// The ends of a wait. Those after BySilent make the trial void: they
// say nothing of the detector.
const (
	ByTime    End = "time"    // all was heard that had to be waited for
	ByHeard   End = "heard"   // the technician heard the chime
	BySilent  End = "silent"  // the technician says that nothing came
	ByAgain   End = "again"   // to be repeated
	BySkip    End = "skip"    // to be left out, with a reason
	ByPause   End = "pause"   // the visit was paused or broke off
	ByLost    End = "lost"    // the connection to the controller was lost
	ByLeaving End = "leaving" // the stage was left
	ByOverrun End = "overrun" // signals were lost
	ByAbsence End = "absence" // the program did not run, and may have stamped signals late
)

var ends = []End{ByTime, ByHeard, BySilent, ByAgain, BySkip, ByPause, ByLost, ByLeaving, ByOverrun, ByAbsence}

// notOfDetector are the ends that nothing about the detector can have caused: what was
// missed up to them was not missed by it.
var notOfDetector = []End{ByLost, ByOverrun, ByPause, ByAbsence}

// Void tells whether a wait that ended so says nothing of the detector; one that lasts
// says nothing yet.
func (e End) Void() bool { return e != ByTime && e != BySilent && e != ByHeard }

// Verdict is what a trial showed of a detector.
type Verdict string

// Code names the verdict.
func (v Verdict) Code() string { return string(v) }

// The verdicts. Undecided: the response lies within its uncertainty of the
// limit.
const (
	Proved    Verdict = "proved"
	Reported  Verdict = "reported" // and restored; how fast was not measured
	Undecided Verdict = "undecided"
	Late      Verdict = "late"
	Silent    Verdict = "silent"
	Crossed   Verdict = "crossed"
	Inverted  Verdict = "inverted"
	Unsteady  Verdict = "unsteady"
	NotTested Verdict = "not tested"
	Void      Verdict = "void"
)

// Proves tells whether a verdict proves that the detector is reported, timed or not.
func (v Verdict) Proves() bool { return v == Proved || v == Reported }

// Rules are what a trial is held against.
type Rules struct {
	Limit       time.Duration // cue to report, at most
	ListenFor   time.Duration // longer than that is silence
	Steady      time.Duration // the report must stand so long
	Uncertainty time.Duration // of a time, expanded, k = 2
	// Asked is by how much, at most, a report was seen late because the controller is asked; it is part of
	// Uncertainty.
	Asked time.Duration
}

// Decide holds a time against a limit. A report is never seen early: of what it may be late by, the
// middle is taken off, and half of it is left of the uncertainty (JCGM 100, 4.3.7: rectangular, its bounds
// taken whole).
func (r Rules) Decide(took, limit time.Duration) (checks.Decision, error) {
	half := r.Asked / 2
	return checks.Decide(max(0, took-half).Seconds(), (r.Uncertainty - half).Seconds(), checks.AtMost(limit.Seconds()))
}

// rulesFor are the rules of one half of an attempt on a detector of a kind.
func rulesFor(s *site.Site, kind site.DetectorKind, half Half, uncertainty time.Duration) Rules {
	l := s.Limits
	r := Rules{Limit: l.Response[kind].Duration(), ListenFor: l.ListenFor[kind].Duration(),
		Steady: l.Steady.Duration(), Uncertainty: uncertainty}
	if half == Restore {
		r.Limit = l.Restore[kind].Duration()
		r.ListenFor = max(r.ListenFor, r.Limit+r.Limit/2)
	}
	return r
}

// Heard is a signal that came while a trial waited. Since is counted from the
// cue on the monotonic clock.
type Heard struct {
	Since   time.Duration
	Address string
	State   signal.State
	Raw     string
	Took    time.Duration // to come: what it tells was so before
}

// Trial is one cue and what came of it. It is a pure state machine: hear feeds
// it, Deadline says how long to wait on, Judge what it shows.
type Trial struct {
	half   Half
	zone   *site.Zone
	kind   site.DetectorKind // of the detector that is operated
	rules  Rules
	before signal.State // of the zone's address at the cue
	heard  []Heard
	// What is known of heard at once, however much it is: the changes among the zone's own
	// reports, and the first other zone that answered.
	reports    []transition
	other      *site.Zone
	otherSince time.Duration

	struck  string // why it counts no more
	endedBy End    // empty while waiting
	ended   time.Duration
	// overdue: the cue reached us late. What came after its wait would have ended is
	// not heard, and over tells that something did.
	overdue, over bool
	// own: nobody was told to do it, see Cue. untimed is why its response says nothing.
	own     bool
	untimed Untimed
	tap     *Tap
	held    Means // by what the technician answered at the cue
	// cutAt is when the next detector was operated, counted from the cue; 0 for never.
	cutAt time.Duration
	at    time.Time // wall time of the cue
	entry int       // of the cue
	// mainsOff tells that mains was removed when the cue was given.
	mainsOff bool

	site *site.Site
}

// newTrial begins a trial of a zone of the site, of a detector of its kind. before is
// the last known state of its address.
func newTrial(s *site.Site, z *site.Zone, half Half, uncertainty time.Duration, before signal.State) *Trial {
	t := &Trial{half: half, zone: z, before: before, site: s}
	t.rules.Uncertainty = uncertainty
	t.operates(z.Kind)
	return t
}

// operates says which kind of detector of the zone is operated.
func (t *Trial) operates(kind site.DetectorKind) {
	asked := t.rules.Asked
	t.kind, t.rules = kind, rulesFor(t.site, kind, t.half, t.rules.Uncertainty)
	t.rules.Asked = asked
}

// hear takes a live signal. One from before the cue only tells the state that
// the zone was in.
func (t *Trial) hear(h Heard) {
	if t.over = t.over || t.overdue && h.Since > t.Deadline() || t.cutBy(h.Since); t.over {
		return
	}
	if h.Since < h.Took || h.Since < 0 { // it was under way when the cue was given
		if state := answers(t.zone, h.State); h.Address == t.zone.Address && state != signal.Unknown {
			t.before = state
		}
		return
	}
	t.heard = append(t.heard, h)
	if h.Address != t.zone.Address {
		t.hearOther(h)
		return
	}
	last := len(t.reports) - 1
	if to := answers(t.zone, h.State); to != signal.Unknown && (last < 0 || t.reports[last].to != to) {
		t.reports = append(t.reports, transition{h.Since, to})
	}
}

// hearOther takes a signal of another zone, which may have answered instead. A motion
// detector that the technician passes is a bystander, unless a motion detector is on trial.
func (t *Trial) hearOther(h Heard) {
	if t.other != nil || h.State != signal.Active {
		return
	}
	z := t.site.ZoneAt(h.Address)
	if z != nil && (!z.Kind.Motion() || t.kind.Motion()) {
		t.other, t.otherSince = z, h.Since
	}
}

// late takes by how much signals may have been stamped late: times are known by so much
// less (JCGM 100, 5.1.2).
func (t *Trial) late(by time.Duration) {
	t.rules.Uncertainty = combined(t.rules.Uncertainty.Nanoseconds(), by.Nanoseconds())
}

// end ends the wait. One whose cue reached us late ends when it would have ended then.
func (t *Trial) end(by End, since time.Duration) {
	if t.overdue && by == ByTime {
		since = min(since, t.Deadline())
	}
	if t.cutBy(since) {
		since = t.cutAt
	}
	t.endedBy, t.ended = by, since
}

// cutBy tells whether the next detector had been operated by then.
func (t *Trial) cutBy(since time.Duration) bool { return t.cutAt > 0 && since > t.cutAt }

// unfinished tells whether the next detector was operated before this one can be said not
// to have answered in time.
func (t *Trial) unfinished(o outlook) bool {
	return t.cutAt > 0 && t.ended >= t.cutAt && o.response == 0 && t.cutAt < t.rules.Limit
}

func (t *Trial) wanted() signal.State {
	if t.half == Restore {
		return signal.Restored
	}
	return signal.Active
}

type transition struct {
	since time.Duration
	to    signal.State
}

// transitions are the changes of state of the zone under trial. A repeated
// report of a known state is none.
func (t *Trial) transitions() []transition {
	if len(t.reports) > 0 && t.reports[0].to == t.before {
		return t.reports[1:]
	}
	return t.reports
}

// maxFlips is how often a detector that restores by itself may change while a
// person is still in front of it.
const maxFlips = 6

// outlook is what the trial shows so far.
type outlook struct {
	verdict  Verdict
	response time.Duration // of the answer; 0 if there is none
	last     time.Duration // of the change that the verdict rests on
	other    *site.Zone    // that answered instead
	moving   bool          // a self-restoring detector went off again
}

func (t *Trial) outlook() outlook {
	changes := t.transitions()
	self := t.kind.Trait().SelfRestoring
	for i, c := range changes {
		if c.to != t.wanted() {
			continue
		}
		o := outlook{verdict: Proved, response: c.since, last: changes[len(changes)-1].since}
		after := len(changes) - 1 - i
		switch {
		case self && t.half == Restore && after > 0:
			// Still in view: the response is the last time that it came to rest.
			o.response = o.last
			o.moving = changes[len(changes)-1].to != signal.Restored
			if o.moving || after > maxFlips {
				o.verdict = Unsteady
			}
		case !self && after > 0 && (!t.own || t.half == Restore):
			o.verdict = Unsteady
		}
		return o
	}
	if self && t.half == Restore && t.before == signal.Restored && len(changes) == 0 {
		return outlook{verdict: Proved} // a short pulse was over before the cue
	}
	if len(changes) > 0 {
		return outlook{verdict: Inverted, last: changes[len(changes)-1].since}
	}
	if other, since := t.answeredInstead(); other != nil {
		return outlook{verdict: Crossed, last: since, other: other}
	}
	return outlook{verdict: Silent}
}

// answeredInstead is another zone that became active after the cue.
func (t *Trial) answeredInstead() (*site.Zone, time.Duration) {
	if t.half == Restore {
		return nil, 0
	}
	return t.other, t.otherSince
}

// Deadline is when the wait may end if nothing more is heard, counted from the
// cue. It may move in either direction with each signal heard.
func (t *Trial) Deadline() time.Duration {
	if t.cutAt > 0 {
		return min(t.cutAt, t.wholeWait())
	}
	return t.wholeWait()
}

// wholeWait is the deadline of a wait that no other detector ends.
func (t *Trial) wholeWait() time.Duration {
	o := t.outlook()
	if t.own && t.half == Restore {
		return t.atLeisure(o)
	}
	switch o.verdict {
	case Proved, Unsteady:
		if o.moving {
			return t.rules.ListenFor
		}
		switch {
		case t.half == Operate && t.kind.Trait().SelfRestoring:
			return o.response // its restoring must find the next cue waiting
		case t.half == Operate && t.own:
			return t.untilAtRest(o)
		}
		return min(o.last+t.rules.Steady, max(t.rules.ListenFor, o.response+3*t.rules.Steady))
	case Inverted, Crossed:
		// The right answer may still be on its way.
		return min(o.last+max(t.rules.Limit, t.rules.Steady), t.rules.ListenFor+t.rules.Steady)
	}
	return t.rules.ListenFor
}

// untilAtRest is the deadline where nobody was told how long to leave it operated: no longer
// than it was. Whether its report stands, its coming to rest shows.
func (t *Trial) untilAtRest(o outlook) time.Duration {
	if t.untimed != "" {
		return o.response
	}
	for _, c := range t.transitions() {
		if c.since > o.response && c.to == signal.Restored {
			return min(c.since, o.response+t.rules.Steady)
		}
	}
	return o.response + t.rules.Steady
}

// atLeisure is the deadline where nobody was told to restore: it has to stand at rest, however
// it came to it.
func (t *Trial) atLeisure(o outlook) time.Duration {
	changes := t.transitions()
	switch {
	case o.response > 0 && changes[len(changes)-1].to == signal.Restored:
		return o.last + t.rules.Steady
	case o.verdict == Proved: // a short pulse was over before
		return 0
	}
	return leisure
}

// leisure is how long a detector may be left operated where nobody was told to restore it:
// what was left open is asked about when the technician says that they are done.
const leisure = 24 * time.Hour

// Own tells whether nobody was told to do what the trial asks: the technician operated in
// their own order, or restored in their own time.
func (t *Trial) Own() bool { return t.own }

// Tap is the touch of a device that gave the cue, nil where there was none.
func (t *Trial) Tap() *Tap {
	if t.tap == nil {
		return nil
	}
	tap := *t.tap
	return &tap
}

// AnsweredAfter is how long after its cue the zone reported what was asked of it, timed or
// not; 0 when it has not.
func (t *Trial) AnsweredAfter() time.Duration { return t.outlook().response }

// Reported tells whether the zone has reported so far what was asked of it.
func (t *Trial) Reported() bool { return t.outlook().response > 0 }

// answeredBy tells whether the zone had reported what was asked of it by then, and nothing came
// since.
func (t *Trial) answeredBy(since time.Duration) bool {
	return t.Reported() && t.heard[len(t.heard)-1].Since <= since
}

// Missed tells whether the operation went unreported past its limit, also where
// the technician broke the wait off: such a miss must not vanish.
func (t *Trial) Missed() bool {
	if t.struck != "" || t.Reported() || slices.Contains(notOfDetector, t.endedBy) || t.unfinished(t.outlook()) {
		return false
	}
	return !t.endedBy.Void() || t.ended > t.rules.Limit
}

// Judgement is what one trial shows.
type Judgement struct {
	Verdict Verdict `json:"verdict"`
	// Response is from the cue to the report; 0 when none came.
	Response    time.Duration `json:"response_nanosecond,omitempty"`
	Uncertainty time.Duration `json:"uncertainty_nanosecond,omitempty"` // of the response, expanded, k = 2
	Limit       time.Duration `json:"limit_nanosecond,omitempty"`       // that it is held against
	// Probability is that the response is within its limit.
	Probability float64             `json:"probability,omitempty"`
	Other       *programme.ZoneName `json:"other,omitempty"`             // that answered instead, if Crossed
	Also        *programme.ZoneName `json:"also,omitempty"`              // that answered as well: two loops shorted
	Changes     int                 `json:"changes,omitempty"`           // of the zone's state
	Waited      time.Duration       `json:"waited_nanosecond,omitempty"` // from the cue to the end of the wait
	GaveUp      bool                `json:"gave_up,omitempty"`           // the technician ended the wait
	Garbled     string              `json:"garbled,omitempty"`           // a report of the zone that no rule understood
	// NotTimed is why it says nothing of how fast. Response, Limit and Waited are then 0.
	NotTimed Untimed `json:"not_timed,omitempty"`
}

// nameOf is what a zone is called, nil for none.
func nameOf(z *site.Zone) *programme.ZoneName {
	if z == nil {
		return nil
	}
	name := programme.NameOfZone(z)
	return &name
}

// Answered tells whether the zone reported what was asked of it.
func (j Judgement) Answered() bool {
	return j.Verdict.Proves() || j.Verdict == Late || j.Verdict == Undecided || j.Verdict == Unsteady
}

// Timed tells whether what it was answered with says how fast.
func (j Judgement) Timed() bool { return j.Answered() && j.NotTimed == "" }

// Judge is what the trial shows, as far as it got. A trial that was broken off
// is Void. The response is held against the limit with its uncertainty
// (checks.Decide): within it of the limit, it is Undecided. One that was struck is Void.
func (t *Trial) Judge() Judgement {
	if t.struck != "" || t.endedBy.Void() {
		return Judgement{Verdict: Void}
	}
	o := t.outlook()
	if t.unfinished(o) {
		return Judgement{Verdict: Void}
	}
	if (t.endedBy == BySilent && o.response > 0 || t.endedBy == ByTime) && t.ended < t.Deadline() {
		return Judgement{Verdict: Void} // something did come, and was not watched to its end
	}
	j := Judgement{Verdict: o.verdict, Response: o.response, Other: nameOf(o.other),
		Limit: t.rules.Limit, Changes: len(t.transitions()), Uncertainty: t.rules.Uncertainty}
	j.Waited, j.GaveUp = t.ended, t.endedBy == BySilent
	for _, h := range t.heard {
		if h.Address == t.zone.Address && h.State == signal.NotUnderstood {
			j.Garbled = h.Raw
		}
	}
	if j.Answered() && t.untimed == "" || j.Answered() && !t.own {
		also, _ := t.answeredInstead()
		j.Also = nameOf(also)
	}
	if t.untimed != "" {
		j.NotTimed = t.untimed
		j.Response, j.Limit, j.Uncertainty, j.Waited = 0, 0, 0, 0
		if o.verdict == Proved {
			j.Verdict = Reported
		}
		return j
	}
	if o.verdict != Proved {
		return j
	}
	d, err := t.rules.Decide(o.response, t.rules.Limit)
	switch {
	case err != nil || d.Ruling == checks.Fail:
		j.Verdict = Late
	case d.Ruling == checks.Undecided:
		j.Verdict = Undecided
	}
	j.Probability = d.Probability
	return j
}

// answers translates a state for the trial of a zone: a tamper zone answers
// with tamper signals. Unknown means the signal is no answer.
func answers(z *site.Zone, s signal.State) signal.State {
	switch {
	case s == signal.Active || s == signal.Restored:
		return s
	case s == signal.Tamper && z.Kind.Tamper():
		return signal.Active
	}
	return signal.Unknown
}
