package record

import (
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const kindMoment = "moment"

// Moment is an instant of one alarm from end to end: that the technician was told something
// (see Instant.Cues), or what their key told. BeforeNS, UncertaintyNS and Tap are as those of
// a Cue.
type Moment struct {
	Step   string     `json:"step"`
	What   Instant    `json:"what"`
	Point  site.Point `json:"point,omitempty"`  // of what is intruded at
	Output string     `json:"output,omitempty"` // that was heard or seen
	// Never: it was waited for, and the technician says that it did not come.
	Never         bool  `json:"never,omitempty"`
	BeforeNS      int64 `json:"before_nanosecond,omitempty"`
	UncertaintyNS int64 `json:"uncertainty_nanosecond,omitempty"`
	Tap           *Tap  `json:"tap,omitempty"`
	// NotTimed is why its instant is not known better than by when it was heard of.
	NotTimed Untimed `json:"not_timed,omitempty"`
	// Failed says why this program could not help to silence what the controller let sound.
	Failed string `json:"failed,omitempty"`
}

// Kind names the entry.
func (Moment) Kind() string { return kindMoment }

// Instant is what happened at an instant.
type Instant string

// The instants. Those in the first group are told to the technician.
const (
	ToBegin   Instant = "to-begin" // the step, anew
	ToSet     Instant = "to-set"
	ToEnter   Instant = "to-enter"
	ToIntrude Instant = "to-intrude"
	ToUnset   Instant = "to-unset"

	Setting     Instant = "setting" // the exit time begins
	SystemSet   Instant = "set"
	EntryOpened Instant = "entered" // the entry route was opened
	Entering    Instant = "entering"
	Intruded    Instant = "intruded" // a detector was operated
	Alarmed     Instant = "alarm"
	Confirmed   Instant = "confirmed"
	OutputOn    Instant = "output-on"
	OutputOff   Instant = "output-off" // by itself
	SilencedNow Instant = "silenced"   // by the technician
	Unset       Instant = "unset"
	AlarmOver   Instant = "alarm-over"
	AllAtRest   Instant = "at-rest"
	CentreClock Instant = "centre-clock" // the centre said what its clock showed
)

// Code names the instant.
func (i Instant) Code() string { return "instant/" + string(i) }

// cueOf are the cues that a key's instant may follow; a cue itself has none.
var cueOf = map[Instant][]Instant{
	ToBegin: nil, ToSet: nil, ToEnter: nil, ToIntrude: nil, ToUnset: nil,
	Setting: {ToSet}, SystemSet: {ToSet}, EntryOpened: {ToEnter}, Intruded: {ToIntrude}, OutputOn: {ToIntrude},
	OutputOff: {ToIntrude}, SilencedNow: {ToSet, ToEnter, ToIntrude, ToUnset}, Unset: {ToEnter, ToUnset},
	Alarmed: {ToEnter}, AllAtRest: {ToUnset}, CentreClock: {ToBegin},
}

// Cues tells whether the technician was told it: it is no instant of the alarm.
func (i Instant) Cues() bool { cues, known := cueOf[i]; return known && cues == nil }

// instantsOf are the moments that a step of a kind may have.
var instantsOf = map[programme.StepKind][]Instant{
	programme.StepSetting: {ToBegin, ToSet, Setting, SystemSet, SilencedNow},
	programme.StepEntry:   {ToBegin, ToSet, SystemSet, ToEnter, EntryOpened, Alarmed, Unset, SilencedNow},
	programme.StepIntrusion: {ToBegin, ToSet, SystemSet, ToIntrude, Intruded, OutputOn, OutputOff, SilencedNow, ToUnset,
		Unset, AllAtRest},
	programme.StepReceipt: {ToBegin, CentreClock},
}

// Witness is by what an instant is known.
type Witness string

// The witnesses.
const (
	ByKey    Witness = "key"    // the technician's
	ByReport Witness = "report" // the controller told it of itself
	BySignal Witness = "signal" // of the zone
	ByCentre Witness = "centre"
)

// Code names the witness.
func (w Witness) Code() string { return "witness/" + string(w) }

// Timed is an instant of an alarm, and how well it is known. Elapsed is since the first
// entry of its run; Uncertainty is expanded (k = 2).
type Timed struct {
	What        Instant
	At          time.Time
	Elapsed     time.Duration
	Run, Entry  int
	Uncertainty time.Duration
	By          Witness
	Point       site.Point
	Output      string
	Never       bool
	Failed      string
	NotTimed    Untimed // why the instant is only when it was heard of
}

// Alarm is one attempt at a step of an alarm. It cannot be changed from outside.
type Alarm struct {
	done     bool
	lost     bool          // the connection was lost, or signals were
	away     time.Duration // the program did not run
	tells    []signal.Aspect
	instants []Timed
}

// Instants are all of the attempt in their order, cues among them.
func (a *Alarm) Instants() []Timed { return slices.Clone(a.instants) }

// Done tells whether the attempt was carried to its end.
func (a *Alarm) Done() bool { return a.done }

// Lost tells that the controller could not be heard for some of the time.
func (a *Alarm) Lost() bool { return a.lost }

// Tells tells whether the controller told an aspect of itself while it began.
func (a *Alarm) Tells(of signal.Aspect) bool { return slices.Contains(a.tells, of) }

// First is the first instant of a kind that fits, that of the controller before that of a
// key; false where there is none.
func (a *Alarm) First(what Instant, fits func(Timed) bool) (Timed, bool) {
	var key *Timed
	for i := range a.instants {
		t := &a.instants[i]
		switch {
		case t.What != what || fits != nil && !fits(*t):
		case t.By != ByKey:
			return *t, true
		case key == nil:
			key = t
		}
	}
	if key == nil {
		return Timed{}, false
	}
	return *key, true
}

// Between is how long after one instant of the attempt another came, and how well that is
// known, expanded (k = 2): with the time in which the program did not run.
func (a *Alarm) Between(from, to Timed) (took, uncertainty time.Duration) {
	return to.Elapsed - from.Elapsed,
		combined(from.Uncertainty.Nanoseconds(), to.Uncertainty.Nanoseconds()) + a.away
}

// Alarms are the attempts at a step of an alarm, in their order.
func (s *Outcome) Alarms() []*Alarm { return slices.Clone(s.alarms) }

// LastAlarm is the last attempt that was carried to its end, nil for none.
func (s *Outcome) LastAlarm() *Alarm {
	for _, a := range slices.Backward(s.alarms) {
		if a.done {
			return a
		}
	}
	return nil
}

// alarming is how an alarm stands.
type alarming struct {
	now    *Alarm // in progress
	at     *Outcome
	isSet  bool // the system is set, as far as this run knows
	maybe  bool // it may be set, or sound, also from before a break
	stood  Instant
	centre *comparison
}

// comparison is what the centre's clock showed at an instant of ours.
type comparison struct {
	timed Timed
	said  string
}

// Alarm is the attempt in progress and its step, nil for none.
func (r *Record) Alarm() (*Alarm, *Outcome) { return r.alarming.now, r.alarming.at }

// SystemIsSet tells whether the system is set, as far as this run knows.
func (r *Record) SystemIsSet() bool { return r.alarming.isSet }

// SystemMayBeSet tells whether it may be set, or sound, since nobody said that it was unset
// after an alarm's step began to set it.
func (r *Record) SystemMayBeSet() bool { return r.alarming.maybe }

// SystemStood is how the system stood when it was heard of last, also before a break: ToSet or
// Setting, SystemSet, Intruded, Alarmed, or "" where it was not set.
func (r *Record) SystemStood() Instant { return r.alarming.stood }

// CentreCompared tells whether this run knows what the centre's clock showed.
func (r *Record) CentreCompared() bool {
	return r.alarming.centre != nil && r.alarming.centre.timed.Run == r.runs
}

func (r *Record) moment(e journal.Entry, m Moment) error {
	sr, err := r.outcomeFor(m.Step, m)
	if err != nil {
		return err
	}
	if m.What == ToBegin {
		r.begin(e, sr)
		return nil
	}
	a := r.alarming.now
	if a == nil || r.alarming.at != sr {
		return refuse(LawAlarmStep, fmt.Errorf("%s of a step that was not begun", m.What))
	}
	if m.NotTimed != "" && !slices.Contains(untimed, m.NotTimed) {
		return fmt.Errorf("%w: %s is not timed because of %q", ErrUnknownKind, m.What, m.NotTimed)
	}
	if before := time.Duration(m.BeforeNS); before < 0 || before > e.Elapsed || m.UncertaintyNS < 0 {
		return refuse(LawAlarmStep, fmt.Errorf("%s: %s before its entry", m.What, before))
	}
	t := Timed{What: m.What, At: e.At.Add(-time.Duration(m.BeforeNS)), Elapsed: e.Elapsed - time.Duration(m.BeforeNS),
		Run: e.Run, Entry: e.N, By: ByKey, Point: m.Point, Output: m.Output, Never: m.Never, Failed: m.Failed,
		NotTimed: m.NotTimed}
	if !m.What.Cues() {
		cue := lastOf(a.instants, cueOf[m.What])
		if cue == nil || t.Elapsed < cue.Elapsed || m.What == Intruded && cue.Point != m.Point {
			return refuse(LawMomentAfterCue, fmt.Errorf("nobody had been told when it came to %s", m.What))
		}
		t.Uncertainty = m.uncertainty()
	}
	a.add(t)
	r.stands(t)
	return nil
}

// uncertainty is that of an instant that a person's key tells, expanded (k = 2).
func (m Moment) uncertainty() time.Duration {
	person := UncertaintyOf[signal.ByWatching].Nanoseconds()
	if m.Tap != nil {
		person = combined(person, TapPerson.Nanoseconds()).Nanoseconds()
	}
	return combined(person, m.UncertaintyNS)
}

// lastOf is the last instant of some kinds, nil for none.
func lastOf(all []Timed, of []Instant) *Timed {
	for i := range slices.Backward(all) {
		if slices.Contains(of, all[i].What) {
			return &all[i]
		}
	}
	return nil
}

// add keeps the order in time: a key may be heard of later than a report that came after it.
func (a *Alarm) add(t Timed) {
	at := len(a.instants)
	for at > 0 && a.instants[at-1].Elapsed > t.Elapsed {
		at--
	}
	a.instants = slices.Insert(a.instants, at, t)
}

// begin begins an attempt. What came of another alarm is no receipt of this one.
func (r *Record) begin(e journal.Entry, sr *Outcome) {
	a := &Alarm{tells: r.Listening().Tells, lost: !r.Connected()}
	a.add(Timed{What: ToBegin, At: e.At, Elapsed: e.Elapsed, Run: e.Run, Entry: e.N, By: ByKey})
	sr.alarms = append(sr.alarms, a)
	r.alarming.now, r.alarming.at = a, sr
	if sr.step.Kind != programme.StepIntrusion {
		return
	}
	for _, o := range r.outcomes {
		if o.step.Kind == programme.StepReceipt {
			o.receipt = nil
			r.unsettle(o.step.ID)
		}
	}
}

// stands keeps whether the system is set.
func (r *Record) stands(t Timed) {
	if t.Never {
		return
	}
	switch {
	case t.What == ToSet, t.What == Setting && t.By == ByKey:
		r.alarming.maybe = true
	case t.What == SystemSet:
		r.alarming.isSet, r.alarming.maybe = true, true
	case t.What == Unset:
		r.alarming.isSet, r.alarming.maybe = false, false
	}
	if r.alarming.maybe {
		r.alarming.stood = stoodAfter(r.alarming.stood, t.What)
	} else {
		r.alarming.stood = ""
	}
}

// stoodAfter is how the system stands after an instant: only what unsets it, or ends the alarm,
// takes back how far it was.
func stoodAfter(stood, what Instant) Instant {
	order := []Instant{"", ToSet, Setting, SystemSet, Intruded, Alarmed}
	switch what {
	case AlarmOver:
		if stood == Alarmed {
			return SystemSet
		}
	case Confirmed, OutputOn:
		return Alarmed
	}
	if slices.Index(order, what) > slices.Index(order, stood) {
		return what
	}
	return stood
}

// toldInstants are what the controller tells when an aspect of it is present, and no longer.
var toldInstants = map[signal.Aspect][2]Instant{
	signal.Setting: {Setting}, signal.Set: {SystemSet, Unset}, signal.Entering: {Entering},
	signal.Alarm: {Alarmed, AlarmOver}, signal.Confirmed: {Confirmed},
}

// alarmTold takes what the controller tells of itself into the attempt in progress. That an aspect
// is not present is no event where it was not present before, as far as that was known; nor is
// the end of an alarm of which nothing was heard.
func (r *Record) alarmTold(e journal.Entry, s signal.System, was, known bool) {
	what := toldInstants[s.Aspect][0]
	if !s.Present {
		what = toldInstants[s.Aspect][1]
	}
	if what == "" {
		return
	}
	t := Timed{What: what, At: e.At, Elapsed: e.Elapsed, Run: e.Run, Entry: e.N, By: ByReport,
		Uncertainty: time.Duration(r.Listening().Of(s.Ear).UncertaintyNS)}
	r.stands(t)
	same := !s.Present && known && !was
	if what == AlarmOver && !known && r.alarming.now != nil {
		_, alarmed := r.alarming.now.First(Alarmed, nil)
		same = !alarmed
	}
	if r.alarming.now != nil && s.Kept == "" && !same {
		r.alarming.now.add(t)
	}
}

// alarmHeard takes the first report of the zone that was to be operated into the attempt.
func (r *Record) alarmHeard(e journal.Entry, z *site.Zone, s signal.Signal) {
	a := r.alarming.now
	if a == nil || s.Kept != "" || answers(z, s.State) != signal.Active {
		return
	}
	cue := lastOf(a.instants, []Instant{ToEnter, ToIntrude, ToUnset, ToSet})
	if cue == nil || cue.Point == "" {
		return
	}
	what := map[Instant]Instant{ToEnter: EntryOpened, ToIntrude: Intruded}[cue.What]
	of, _, err := r.site.Find(cue.Point)
	_, before := a.First(what, func(t Timed) bool { return t.Point == cue.Point && t.By == BySignal })
	if err != nil || of != z || before || what == "" {
		return
	}
	t := Timed{What: what, At: e.At, Elapsed: e.Elapsed, Run: e.Run, Entry: e.N, By: BySignal, Point: cue.Point,
		Uncertainty: time.Duration(r.HeardBy(z.Address).UncertaintyNS)}
	a.add(t)
	r.stands(t)
}

// alarmBroken ends the attempt in progress: it is taken again from its beginning.
func (r *Record) alarmBroken() {
	r.alarming.now, r.alarming.at, r.alarming.isSet = nil, nil, false
}

// alarmLost tells that some of what the controller told may not have come.
func (r *Record) alarmLost() {
	if r.alarming.now != nil {
		r.alarming.now.lost = true
	}
	r.alarming.isSet = false
}

// alarmConcluded ends the attempt at a step that was answered.
func (r *Record) alarmConcluded(a Answer) {
	if r.alarming.now != nil && r.alarming.at.step.ID == a.Step {
		r.alarming.now.done = a.Result == Done
		r.alarming.now, r.alarming.at = nil, nil
	}
}
