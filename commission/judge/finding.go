package judge

import (
	"encoding/json"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Finding is a defect or a limitation: what it concerns, and what is the matter, as
// codes with arguments. Because is the reason that the technician gave, Noted what they
// remarked, both as typed.
type Finding struct {
	ID      string // F1, L1
	Step    string // that it rests on, "" for none
	Subject Subject
	What    Statement
	Because string
	Noted   []string
	Since   []Worsened // how the same quantity got worse since earlier visits
}

// Statement is what is the matter: a code, with the arguments that its type holds.
type Statement interface{ Code() string }

// Said is the finding without its number, as one JSON object: its codes and arguments.
// Two findings say the same if these bytes are the same.
func (f Finding) Said() json.RawMessage {
	return settledJSON(encoded(struct {
		Code    string     `json:"code"`
		Subject Subject    `json:"subject"`
		With    Statement  `json:"with"`
		Because string     `json:"because,omitempty"`
		Noted   []string   `json:"noted,omitempty"`
		Since   []Worsened `json:"since,omitempty"`
	}{f.What.Code(), f.Subject, f.What, f.Because, f.Noted, f.Since}))
}

// Part is a part of the system or of the visit that has no name of its own.
type Part string

// The parts.
const (
	PartChecklist Part = "checklist"
	PartVoltmeter Part = "voltmeter"
	PartSupply    Part = "supply"
	PartReporting Part = "reporting on standby"
	PartRestart   Part = "cold restart"
	PartVisit     Part = "visit"
	PartTimes     Part = "times"
	PartCustomer  Part = "customer"
	PartSignals   Part = "signals"
	PartDetection Part = "detection"
	PartExtent    Part = "extent"
	PartLimits    Part = "limits"
	PartVoltages  Part = "voltages at detectors"
	PartLoops     Part = "loops"
	PartOutputs   Part = "outputs"
	PartRecord    Part = "record"
	PartAlarm     Part = "alarm"
	PartComputer  Part = "computer"

	PartCentre      Part = "receiving centre"
	PartPhotographs Part = "photographs"
	PartEarlier     Part = "earlier visit"
)

// Code names the part.
func (p Part) Code() string { return "part/" + string(p) }

// Subject is what a finding concerns: one of its fields is set.
type Subject struct {
	Part     Part                    `json:"part,omitempty"`
	Detector *programme.DetectorName `json:"detector,omitempty"`
	Zone     *programme.ZoneName     `json:"zone,omitempty"`
	Step     *programme.Name         `json:"step,omitempty"`
	Computed Row                     `json:"computed,omitempty"`
}

// Code names the kind of subject.
func (Subject) Code() string { return "subject" }

func (a *Assessment) aboutStep(s programme.Step) Subject {
	name := programme.NameOf(a.record.Site(), s)
	if name.Detector != nil {
		return Subject{Detector: name.Detector}
	}
	return Subject{Step: &name}
}

func aboutZone(z *site.Zone) Subject {
	name := programme.NameOfZone(z)
	return Subject{Zone: &name}
}

// What may be the matter with an item of a checklist, or with an act.
type (
	// NotSo is an item that was found not to be so.
	NotSo struct {
		Item programme.Name `json:"item"`
	}
	// NotChecked is an item that was not looked at.
	NotChecked struct {
		Item programme.Name `json:"item"`
	}
	// NotDone is something that was to be done and was not.
	NotDone struct {
		Act programme.Name `json:"act"`
	}
)

// What may be the matter with a detector, beside what a trial has Shown.
type (
	// NotTested is a detector or an output that was not tried.
	NotTested struct {
		ProvedOnStandby bool `json:"proved_on_standby,omitempty"`
	}
	// NoPart is a step that was no part of the visit at all.
	NoPart struct{}
	// ProvedWithMains is a proof on standby with mains present.
	ProvedWithMains struct{}
	// ProvedThenLeft is a proof that was to be repeated, and was not.
	ProvedThenLeft struct{}
	// AlsoAnswered is another zone that answered as well.
	AlsoAnswered struct {
		Zone programme.ZoneName `json:"zone"`
	}
	// ReportGarbled is a report that no rule of controller.yaml understands.
	ReportGarbled struct {
		Raw string `json:"raw"`
	}
	// OnlyTimed is a life-safety zone, whose signal alone was timed.
	OnlyTimed struct{}
	// NoneProved is a walk-test that proved no detector at all.
	NoneProved struct{}
	// StrangersReported are addresses that the site does not have; AtLeast tells that
	// there were more than a visit writes down.
	StrangersReported struct {
		Addresses int  `json:"addresses"`
		AtLeast   bool `json:"at_least,omitempty"`
	}
	// HeardElsewhere is a zone that was reported by another ear than the one that it belongs to, which
	// was not counted.
	HeardElsewhere struct {
		Signals int `json:"signals"`
	}
	// WasAbsent is that the program did not run for some time: trials that waited then were
	// taken again, and what had to last lasted so much longer.
	WasAbsent struct {
		Times  int           `json:"times"`
		Lasted time.Duration `json:"lasted_nanosecond"` // all of them
		From   time.Time     `json:"from"`              // when the first was noticed
		To     time.Time     `json:"to"`                // and the last
		Asleep bool          `json:"asleep,omitempty"`  // the computer was
	}
	// ClockSet is that the clock that shows the time of day was set during the visit.
	ClockSet struct {
		Times   int           `json:"times"`
		By      time.Duration `json:"by_nanosecond"`      // the most: steps forward and back make up for nothing
		AtLeast bool          `json:"at_least,omitempty"` // it was by so much or more
		At      time.Time     `json:"at"`                 // when that was, as it showed then
	}
	// SignalsLost are signals that came faster than they could be written, by the
	// clock on the premises.
	SignalsLost struct {
		Signals int       `json:"signals"`
		From    time.Time `json:"from"`
		To      time.Time `json:"to"`
	}
)

// Misplaced is why a reading does not show what its step asks for.
type Misplaced string

// The reasons.
const (
	WithMains    Misplaced = "mains present"
	WithoutMains Misplaced = "mains removed"
	OutputOff    Misplaced = "output off"
	// OutputUnproved: it was commanded on, and perhaps did not work: it may have been no load.
	OutputUnproved Misplaced = "output unproved"
)

// Code names the reason.
func (m Misplaced) Code() string { return "misplaced/" + string(m) }

// What may be the matter with the supply. Voltages are in V.
type (
	// ReadingVoid is a reading that shows nothing.
	ReadingVoid struct {
		Volt   float64   `json:"volt"`
		Why    Misplaced `json:"why"`
		Output string    `json:"output,omitempty"`
	}
	// NotMeasured is a reading that was not taken.
	NotMeasured struct{}
	// ReadingOutside is a reading outside its limit.
	ReadingOutside struct {
		Volt  float64 `json:"volt"`
		Limit Range   `json:"limit"`
	}
	// ReadingUndecided is a reading within its uncertainty of its limit, or Beyond.
	ReadingUndecided struct {
		Volt        float64 `json:"volt"`
		Uncertainty float64 `json:"uncertainty_volt"`
		Limit       Range   `json:"limit"`
		Beyond      bool    `json:"beyond_usual,omitempty"` // outside a limit that is only ours
	}
	// CalibrationNotStated is a voltmeter of which nobody says how long it is calibrated.
	CalibrationNotStated struct{}
	// CalibrationOver is a voltmeter whose calibration had run out.
	CalibrationOver struct {
		Until string `json:"until"`
	}
	// UncertaintyNotStated is a voltmeter of unknown uncertainty.
	UncertaintyNotStated struct{}
	// PathOnMains is a router or gateway that stayed on mains.
	PathOnMains struct{}
	// PathNotKnown is one of which that was not established.
	PathNotKnown struct{}
	// NoBattery is a system without a standby battery.
	NoBattery struct{}
	// MainsStillRemoved is a supply that was not restored.
	MainsStillRemoved struct{}
	// RestartSilent is a controller that did not come back.
	RestartSilent struct{}
	// RestartLate is one that came back after its limit.
	RestartLate struct {
		Took  time.Duration `json:"took_nanosecond"`
		Limit site.Limit    `json:"limit"`
	}
	// RestartUndecided is one that came back too close to it.
	RestartUndecided struct {
		Took  time.Duration `json:"took_nanosecond"`
		Limit site.Limit    `json:"limit"`
	}
)

// What may be the matter with an output.
type (
	// NotObserved is an output that was not heard or seen.
	NotObserved struct {
		Kind site.OutputKind `json:"kind"`
	}
	// SwitchedOffLate is an output that could not be switched off at once. Why is what
	// the connection said.
	SwitchedOffLate struct {
		Why string `json:"why"`
	}
)

// ComputedSo is a computation that fails, or could not decide.
type ComputedSo struct {
	Row     Row           `json:"row"`
	Ruling  checks.Ruling `json:"verdict"`
	Danger  bool          `json:"danger,omitempty"`
	Lacks   []Lack        `json:"lacks,omitempty"`   // what would decide it
	Assumed []string      `json:"assumed,omitempty"` // keys of the site file whose default counted
}

// NotComputed is a computation for which something was missing. Of names the detectors
// where it is one of several.
type NotComputed struct {
	Row   string       `json:"row"` // its code
	Of    []site.Point `json:"of,omitempty"`
	Lacks []Lack       `json:"lacks"`
}

// Unwatched are zones whose cut cable looks like rest at the controller: nobody is told
// of it.
type Unwatched struct {
	Zones []programme.ZoneName `json:"zones"`
}

// FloatDisputed is a voltage at which sources do not agree that such cells may stand for
// years.
type FloatDisputed struct {
	PerCell float64 `json:"per_cell_volt"`
}

// RestsOnDefaults are computations that hold only by what is usual where the site file
// says nothing.
type RestsOnDefaults struct {
	Rows []RowsOf `json:"rows"`
	Keys []string `json:"keys"` // of the site file
}

// RowsOf are computations of a kind. Of names the detectors where they are about some.
type RowsOf struct {
	Row string       `json:"row"` // its code
	Of  []site.Point `json:"of,omitempty"`
}

// LimitsAssumed are limits that nobody declared: keys of the site file.
type LimitsAssumed struct {
	Keys []string `json:"keys"`
}

// PowerUnknown are detectors of kinds that take power, of which the site file does not
// say what.
type PowerUnknown struct {
	Of []site.Point `json:"of"`
}

// NoOutput is a site without any sounder.
type NoOutput struct{}

// NoCentre is a site file that does not say who receives the alarms.
type NoCentre struct{}

// NoVoltmeter is a visit without one.
type NoVoltmeter struct{}

// SwitchOverUnseen is that nobody watched whether the controller goes on when mains goes: the
// visit was broken off within a minute of it, each time that mains was removed.
type SwitchOverUnseen struct{}

// SwitchOverLost is a connection that was lost while mains was removed, though the path
// was said to be on standby power too.
type SwitchOverLost struct {
	After time.Duration `json:"after_nanosecond"` // mains was removed
}

// ReportingInterrupted is a connection that was lost while mains was removed, for so long in
// all, and came back: a stall of the link, or a loss that need not be of the switch-over.
type ReportingInterrupted struct {
	For time.Duration `json:"for_nanosecond"`
}

// What may be the matter with the visit as a whole.
type (
	// Practice is a visit of which something was simulated.
	Practice struct{}
	// TimedDifferently is a visit whose signals were timed in more than one way.
	TimedDifferently struct{}
	// CustomerRefused is a customer who does not accept the list.
	CustomerRefused struct{}
	// NobodySigned is a visit without a customer's name.
	NobodySigned struct{}
	// Contradicted is a law of records that this one breaks: the first of the entries that
	// do so, and how many there are.
	Contradicted struct {
		Law     record.Law `json:"law"`
		Entries []int      `json:"entries"`
		All     int        `json:"all"`
	}
	// NotAccepted are findings that the customer was not shown, or did not accept.
	NotAccepted struct {
		IDs []string `json:"ids"`
	}
	// RetestExtent is what a retest leaves to the visit that it follows.
	RetestExtent struct {
		Steps        int `json:"steps"`
		AllSteps     int `json:"all_steps"`
		Detectors    int `json:"detectors"`
		AllDetectors int `json:"all_detectors"`
	}
)

// Code names the statement.
func (NotSo) Code() string                { return "not-so" }
func (NotChecked) Code() string           { return "not-checked" }
func (NotDone) Code() string              { return "not-done" }
func (NotTested) Code() string            { return "not-tested" }
func (NoPart) Code() string               { return "no-part" }
func (ProvedWithMains) Code() string      { return "proved-with-mains" }
func (ProvedThenLeft) Code() string       { return "proved-then-left" }
func (AlsoAnswered) Code() string         { return "also-answered" }
func (ReportGarbled) Code() string        { return "report-garbled" }
func (OnlyTimed) Code() string            { return "only-timed" }
func (NoneProved) Code() string           { return "none-proved" }
func (StrangersReported) Code() string    { return "strangers-reported" }
func (HeardElsewhere) Code() string       { return "heard-elsewhere" }
func (SignalsLost) Code() string          { return "signals-lost" }
func (Contradicted) Code() string         { return "contradicted" }
func (WasAbsent) Code() string            { return "was-absent" }
func (ClockSet) Code() string             { return "clock-set" }
func (ReadingVoid) Code() string          { return "reading-void" }
func (NotMeasured) Code() string          { return "not-measured" }
func (ReadingOutside) Code() string       { return "reading-outside" }
func (ReadingUndecided) Code() string     { return "reading-undecided" }
func (CalibrationNotStated) Code() string { return "calibration-not-stated" }
func (CalibrationOver) Code() string      { return "calibration-over" }
func (UncertaintyNotStated) Code() string { return "uncertainty-not-stated" }
func (PathOnMains) Code() string          { return "path-on-mains" }
func (PathNotKnown) Code() string         { return "path-not-known" }
func (NoBattery) Code() string            { return "no-battery" }
func (MainsStillRemoved) Code() string    { return "mains-still-removed" }
func (RestartSilent) Code() string        { return "restart-silent" }
func (RestartLate) Code() string          { return "restart-late" }
func (RestartUndecided) Code() string     { return "restart-undecided" }
func (NotObserved) Code() string          { return "not-observed" }
func (SwitchedOffLate) Code() string      { return "switched-off-late" }
func (c ComputedSo) Code() string         { return "computed/" + c.Row.Code() }
func (NotComputed) Code() string          { return "not-computed" }
func (Unwatched) Code() string            { return "unwatched" }
func (FloatDisputed) Code() string        { return "float-disputed" }
func (RestsOnDefaults) Code() string      { return "rests-on-defaults" }
func (LimitsAssumed) Code() string        { return "limits-assumed" }
func (PowerUnknown) Code() string         { return "power-unknown" }
func (NoOutput) Code() string             { return "no-output" }
func (NoCentre) Code() string             { return "no-centre" }
func (NoVoltmeter) Code() string          { return "no-voltmeter" }
func (SwitchOverLost) Code() string       { return "switch-over-lost" }
func (ReportingInterrupted) Code() string { return "reporting-interrupted" }
func (SwitchOverUnseen) Code() string     { return "switch-over-unseen" }
func (Practice) Code() string             { return "practice" }
func (TimedDifferently) Code() string     { return "timed-differently" }
func (CustomerRefused) Code() string      { return "customer-refused" }
func (NobodySigned) Code() string         { return "nobody-signed" }
func (NotAccepted) Code() string          { return "not-accepted" }
func (RetestExtent) Code() string         { return "retest-extent" }

// notAccepted tells which findings and limitations were not among those that somebody
// accepted, by what they say; their numbers may have moved.
func notAccepted(accepted []record.Acceptance, all []Finding) (missing []string) {
	seen := map[string]bool{}
	for _, a := range accepted {
		seen[string(settledJSON(a.Said))] = true
	}
	for _, f := range all {
		if !seen[string(f.Said())] {
			missing = append(missing, f.ID)
		}
	}
	return missing
}

// Code names what is the matter.
func (f Finding) Code() string { return f.What.Code() }
