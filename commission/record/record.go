package record

import (
	"time"

	"loopwitness/commission/kit/logo"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Record is what a journal says, in the words of the trade. It is made by Fold
// and changed only by Take.
type Record struct {
	site       *site.Site // as the file says it, with what was found
	file       *site.Site
	logo       *logo.Logo // nil for none
	logos      logos
	opening    Opened
	begun      time.Time
	latest     time.Time // of the last entry
	attended   time.Time // of the last entry of the visit itself; a photograph may be added later
	entries    int
	runs       int
	breaks     []Break
	sources    []signal.Listening
	outcomes   []*Outcome
	stage      programme.Stage // that the technician chose last, "" for the programme's order
	on         map[string]bool // outputs that may be on
	holds      []Hold
	mainsOff   time.Time // when mains was removed; zero when present
	batteryOff time.Time // when the battery was disconnected; zero when connected
	mainsBack  time.Time // when it was restored; zero before
	// The same two instants on the clock of Watched.
	mainsOffWatched, mainsBackWatched time.Duration
	mainsOffPassed                    time.Duration // the first, on that of passed
	samples                           []Sample
	sounded                           map[string]sounding // by output
	latestTaken                       *Outcome            // of the last reading or answer, if nothing else was since
	listened                          bool                // in this run
	outages                           []Break             // of the connection to the controller
	ears                              ears
	losses                            []Loss
	absences                          []Absence
	clockSteps                        []ClockStep
	broken                            breaches
	memory                            lawMemory
	ownTrial                          map[string]trialOfOutput // by output
	cuesGiven                         int                      // but those of restarts
	cuedLost                          []int                    // of them while the connection was told lost
	unfollowed                        []pending                // chimes that were heard while their zone was silent
	lapsed                            bool                     // a signature lapsed, since a step was taken again after it
	signals                           int
	strangers                         map[string]int    // live signals of addresses that the site does not have
	garbled                           map[string]string // by address, the last report that no rule understood
	stuck                             map[string]string // by output, why it could not be switched off at once
	photographs                       []Photograph      // that were added, in their order
	withdrawals                       []Withdrawal

	siteChanges  []SiteChange
	corrections  []Correction
	undertakings []Undertaking
	discard      *Discard
	extent       *Extent
	means        Held // what the technician answers with
	devices      []string

	states   map[string]signal.State
	aspects  map[signal.Aspect]bool
	alarming alarming
	told     []Told
	faults   map[signal.Aspect]*FaultSignal // since its cause was made last
	index    map[string]*Outcome
	ahead    string // the step that the technician wants to take first
	trial    *Trial
	onTrial  *Outcome
	backAt   time.Duration // when a long absence was noticed in this run, 0 for never
	run      int           // of the last entry
	elapsed  time.Duration // of the last entry
	watched  watched
	cue      time.Duration
	recent   recent
}

// Break is a pause of the visit, a process that ended without one, or a time without a
// connection to the controller, which has no reason. To is zero while it lasts.
type Break struct {
	From, To time.Time
	Why      Stop // of a pause
	// Own tells that a connection was lost since this program did not run, and could not
	// keep it.
	Own bool
	// OffAt is when mains was removed for a hold in which a connection was lost, zero while it
	// was present, and SinceOff how long it had been.
	OffAt    time.Time
	SinceOff time.Duration
	// Lasted is how long a connection was lost, as far as its run tells; Cut tells that the run
	// ended before it came back.
	Lasted time.Duration
	Cut    bool
	// Ear is what was lost where there are several, "" where there is one.
	Ear signal.Way
}

// Hold is a time in which mains was removed; To is zero while it is. Watched is how much of
// it the program watched, up to the last entry: no more is proved of it.
type Hold struct {
	From, To time.Time
	Watched  time.Duration
	// Unseen tells that its switch-over was not watched to its end: a connection that was
	// lost then would not be known.
	Unseen bool
}

// switchOver is how long after removing mains a controller shows whether it goes on (common
// practice, no source): it starts in less, and a connection that was lost is told in less.
const switchOver = time.Minute

// looksAway tells of a break at an instant of the present run, counted from its first entry.
func (r *Record) looksAway(elapsed time.Duration) {
	if !r.mainsOff.IsZero() && r.SinceOff(elapsed) < switchOver {
		r.holds[len(r.holds)-1].Unseen = true
	}
}

// Loss is a time in which signals were lost.
type Loss struct {
	Signals  int
	From, To time.Time
}

// Outcome is a step of the programme and what came of it.
type Outcome struct {
	step       programme.Step
	attempts   []Attempt
	answer     *Answer
	earlier    []Answer // that the latest has replaced
	bySignal   bool     // a signal was its answer
	readings   []Taken
	instrument *Instrument
	tester     *Tester
	cable      *CableTested
	found      []FoundValue
	beyond     bool // left out since the visit is about other detectors
	signed     *Signed
	notes      []string
	// mendedAfter is how many attempts there were at the first note after the last that
	// was missed, mendedFrom which note that was.
	mendedAfter, mendedFrom int
	on                      time.Duration // how long its output was on the last time before it was answered
	energised               bool          // its output was, for this step
	because                 OffBecause    // it was switched off in the middle
	afterOff                bool          // what was heard or seen was answered after that
	at                      time.Time     // of what concluded it
	settled                 bool
	given                   map[string]givenAnswer
	alarms                  []*Alarm
	receipt                 *Receipt

	// The entries that texts which can be corrected stand in.
	answerEntry, instrumentEntry, signedEntry int
	// failedEntry is that of the last answer that it does not work, 0 for none.
	failedEntry int
	noteEntries []int
}

// Taken is a reading, and how things stood when it was taken.
type Taken struct {
	Reading
	At       time.Time
	Loaded   bool          // the output of its step was on, or all that an alarm energises
	WhileOff bool          // mains was removed
	OffAt    time.Time     // when mains was removed for it
	SinceOff time.Duration // that was watched, from removing mains to the reading
	// SinceOffAtMost is that time with breaks, sleep and stops of the program.
	SinceOffAtMost time.Duration
	Entry          int // of the journal
}

// givenAnswer is an answer of a step that is not concluded, and the run that it
// was given in.
type givenAnswer struct {
	text      string
	run       int
	confirmed bool
}

// AnsweredBefore is what was answered to a question of the step before the latest break.
// Within a run nothing is remembered: a question that is asked twice is meant.
func (r *Record) AnsweredBefore(s *Outcome, question string) (string, bool) {
	g, there := s.given[question]
	return g.text, there && g.run < r.runs
}

// ConfirmedBefore tells whether that answer was one that had to be confirmed.
func (r *Record) ConfirmedBefore(s *Outcome, question string) bool {
	return s.given[question].confirmed
}

// LatestTaken is the step of the last reading or answer, nil where it has been taken
// again or a trial or a signature came after it.
func (r *Record) LatestTaken() *Outcome { return r.latestTaken }

// Attempt is a detector operated and restored. Restore is nil when operating
// it already showed what is wrong.
type Attempt struct{ Operate, Restore *Trial }

// complete tells whether the attempt says all it can.
func (a Attempt) complete() bool {
	if a.Operate == nil || a.Operate.Judge().Verdict == Void {
		return false
	}
	if !a.Operate.Judge().Answered() {
		return true
	}
	return a.Restore != nil && a.Restore.Judge().Verdict != Void
}

// severity orders verdicts from best to worst. How fast it was restored decides nothing of
// how fast it was reported.
var severity = map[Verdict]int{
	Proved: 0, Reported: 0, Undecided: 1, Late: 2, Unsteady: 3, Inverted: 4, Crossed: 5, Silent: 6,
}

// Verdict is the worse of both halves.
func (a Attempt) Verdict() Verdict {
	if !a.complete() {
		return Void
	}
	worst := a.Operate.Judge().Verdict
	if a.Restore != nil {
		if v := a.Restore.Judge().Verdict; severity[v] > severity[worst] {
			worst = v
		}
	}
	return worst
}

// Concluded tells whether the step needs nothing more.
func (s *Outcome) Concluded() bool { return s.settled }

// Tried are the complete attempts, which the certificate counts.
func (s *Outcome) Tried() []Attempt {
	var out []Attempt
	for _, a := range s.attempts {
		if a.complete() {
			out = append(out, a)
		}
	}
	return out
}

// BrokenOff counts the attempts that were not carried to their end.
func (s *Outcome) BrokenOff() int { return len(s.attempts) - len(s.Tried()) - len(s.Struck()) }

// LastEnded is the last wait that was not broken off, for steps that only
// operate; nil if there is none.
func (s *Outcome) LastEnded() *Trial {
	for i := len(s.attempts) - 1; i >= 0; i-- {
		if t := s.attempts[i].Operate; !t.endedBy.Void() {
			return t
		}
	}
	return nil
}

// Last is the last complete attempt, or nil.
func (s *Outcome) Last() *Attempt {
	for i := len(s.attempts) - 1; i >= 0; i-- {
		if s.attempts[i].complete() {
			return &s.attempts[i]
		}
	}
	return nil
}

// Reading is the last reading of a quantity, or nil.
func (s *Outcome) Reading(quantity Quantity) *Taken {
	for i := len(s.readings) - 1; i >= 0; i-- {
		if s.readings[i].Quantity == quantity {
			return copied(&s.readings[i])
		}
	}
	return nil
}

// ReadingWhileOn is the last reading of a quantity that was taken while what it is of was on,
// or nil: one of a silent sounder says nothing.
func (s *Outcome) ReadingWhileOn(quantity Quantity) *Taken {
	for i := len(s.readings) - 1; i >= 0; i-- {
		if s.readings[i].Quantity == quantity && s.readings[i].Loaded {
			return copied(&s.readings[i])
		}
	}
	return nil
}

// Result is the word that the step was answered with, "" for none.
func (s *Outcome) Result() Result {
	if s.answer == nil {
		return ""
	}
	return s.answer.Result
}

// Value is what was typed beside a line that asks for it, "" for nothing.
func (s *Outcome) Value() string {
	if s.answer == nil {
		return ""
	}
	return s.answer.Value
}

// BySignal tells that a signal answered a line of what is looked at: nobody had to.
func (s *Outcome) BySignal() bool { return s.bySignal && s.Result() == Done }

// Remark is what the technician wrote beside the answer.
func (s *Outcome) Remark() string {
	if s.answer == nil {
		return ""
	}
	return s.answer.Remark
}

// Local is a time as the clock on the premises showed it.
func (r *Record) Local(t time.Time) time.Time {
	return t.In(time.FixedZone("", r.opening.UTCOffset))
}

// Find is the step of that name, or nil.
func (r *Record) Find(id string) *Outcome { return r.index[id] }

// Trial is the trial in progress and its step, or nil.
func (r *Record) Trial() (*Trial, *Outcome) { return r.trial, r.onTrial }

// SinceCue is how long after the cue of the trial in progress an event with
// that elapsed time of the same run came.
func (r *Record) SinceCue(elapsed time.Duration) time.Duration { return elapsed - r.cue }

// StateOf is the last known state of an address.
func (r *Record) StateOf(address string) signal.State { return r.states[address] }

// Next is the first step to take: of the stage that the technician chose while
// it has any, else in the programme's order. Nil when all are concluded.
func (r *Record) Next() *Outcome {
	if s := r.Chosen(); s != nil {
		return s
	}
	if s := r.nextIn(r.stage); s != nil {
		return s
	}
	return r.nextIn("")
}

func (r *Record) nextIn(stage programme.Stage) *Outcome {
	for _, s := range r.outcomes {
		if !s.settled && (stage == "" || s.step.Stage == stage) {
			if first := r.concernedNext(); first != nil && s.step.Stage == programme.StageWalkTest {
				return first
			}
			return s
		}
	}
	return nil
}

// OpenBefore are the steps still open that must be concluded before a stage.
func (r *Record) OpenBefore(stage programme.Stage) []*Outcome {
	var open []*Outcome
	for _, s := range r.outcomes {
		if s.step.Stage == stage {
			break
		}
		if !s.settled {
			open = append(open, s)
		}
	}
	return open
}

// Count is how many steps a stage has ("" for all stages), and how many of them
// are open.
func (r *Record) Count(stage programme.Stage) (all, open int) {
	for _, s := range r.outcomes {
		if stage != "" && s.step.Stage != stage {
			continue
		}
		all++
		if !s.settled {
			open++
		}
	}
	return all, open
}

// CountDetectors is how many detectors the walk-test has, and how many of them are open.
func (r *Record) CountDetectors() (all, open int) {
	for _, s := range r.outcomes {
		if s.step.Stage != programme.StageWalkTest || s.step.Kind != programme.StepDetector {
			continue
		}
		all++
		if !s.settled {
			open++
		}
	}
	return all, open
}

// Done tells whether every step is concluded.
func (r *Record) Done() bool { return r.nextIn("") == nil }

// Listening is how signals are received now; zero before the first source.
func (r *Record) Listening() signal.Listening {
	if len(r.sources) == 0 {
		return signal.Listening{}
	}
	return r.sources[len(r.sources)-1]
}

// Simulated tells whether any part of the visit was simulated.
func (r *Record) Simulated() bool {
	for _, l := range r.sources {
		if l.Simulated {
			return true
		}
	}
	for _, s := range r.outcomes {
		if s.instrument != nil && s.instrument.Simulated {
			return true
		}
	}
	return false
}

// Voltmeter is the instrument that the supply is measured with, or nil.
func (r *Record) Voltmeter() *Instrument {
	if s := r.index[programme.IDVoltmeter]; s != nil {
		return s.instrument
	}
	return nil
}

// ReadingDue is how long from an instant of this run, counted from its first entry, a
// reading of a step is due after mains was removed, or restored; zero when it is due
// already. Only time that is watched counts.
func (r *Record) ReadingDue(s programme.Step, elapsed time.Duration) time.Duration {
	since, from := r.mainsOff, r.mainsOffWatched
	if s.ID == programme.IDCharging {
		since, from = r.mainsBack, r.mainsBackWatched
	}
	if since.IsZero() || s.AfterSeconds == 0 {
		return 0
	}
	return max(0, s.After()-(r.Watched(elapsed)-from))
}

// SinceOff is how long the program has watched since mains was removed, at an instant of
// this run, counted from its first entry; 0 while it is present.
func (r *Record) SinceOff(elapsed time.Duration) time.Duration {
	if r.mainsOff.IsZero() {
		return 0
	}
	return r.Watched(elapsed) - r.mainsOffWatched
}

// Customer is the name for the customer, nil before anybody was asked.
func (r *Record) Customer() *Signed {
	if s := r.index[programme.IDCustomer]; s != nil {
		return s.signed
	}
	return nil
}

// PathOnStandby is the answer about the router or gateway, "" for none.
func (r *Record) PathOnStandby() Result {
	if s := r.index[programme.IDPath]; s != nil {
		return s.Result()
	}
	return ""
}
