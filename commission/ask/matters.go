package ask

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Matter is what a question is about, where that needs no argument.
type Matter string

// The matters.
const (
	ReasonMatter      Matter = "reason"       // of an item that is not done
	DefectMatter      Matter = "defect"       // what and where
	NotTestedMatter   Matter = "not-tested"   // why
	NoteMatter        Matter = "note"         // that is printed on the certificate
	StageMatter       Matter = "stage"        // to go on with
	StepAgainMatter   Matter = "step-again"   // which one
	OtherStepMatter   Matter = "other-step"   // which one, by its name
	InsteadMatter     Matter = "instead"      // what an output did instead
	CurrentMatter     Matter = "current"      // of an output while it was on
	CutOffMatter      Matter = "cut-off"      // after which an output stopped by itself
	LevelMatter       Matter = "level"        // of a sounder
	LoopMatter        Matter = "loop"         // its resistance
	DetectorMatter    Matter = "detector"     // to go to
	OutstandingMatter Matter = "outstanding"  // is the list right?
	AcceptanceMatter  Matter = "acceptance"   // does the customer accept the list?
	TechnicianMatter  Matter = "technician"   // name
	LicenceMatter     Matter = "licence"      // of the technician
	CustomerMatter    Matter = "customer"     // name of the representative
	PositionMatter    Matter = "position"     // of the representative
	RefusalMatter     Matter = "refusal"      // what the customer says
	CalledMatter      Matter = "called"       // who refuses
	AbsenceMatter     Matter = "absence"      // why nobody signs
	StrikeMatter      Matter = "strike"       // which detector has a trial that does not count
	SpoiledMatter     Matter = "spoiled"      // what spoiled the trial
	CalibrationMatter Matter = "calibration"  // how long it is valid
	UncertaintyMatter Matter = "uncertainty"  // of the voltmeter
	PowerBackMatter   Matter = "power-back"   // given back in a moment
	FirstReportMatter Matter = "first-report" // that is waited for
)

// What a question or a wait is about, with its arguments.
type (
	// NotProved asks what is to become of a detector.
	NotProved struct{ Step programme.Name }
	// NotHeard asks what is to become of a chime.
	NotHeard struct{ Step programme.Name }
	// Identify asks for kind and identifier of an instrument.
	Identify struct{ Step programme.Name }
	// SupplyVoltage is a voltage at the controller's supply terminals.
	SupplyVoltage struct{ Step programme.Name }
	// ToEnergise is an output that is about to be energised.
	ToEnergise struct {
		Output   string
		Kind     site.OutputKind
		Location string
	}
	// Observed asks whether it was heard, or seen, clearly.
	Observed struct {
		Output string
		Seen   bool
	}
	// ObservedUntil asks the same of an output that went off At, after it was on for On; Why is
	// "" where that is not known.
	ObservedUntil struct {
		Output string
		Seen   bool
		At     time.Time
		On     time.Duration
		Why    record.OffBecause
	}
	// Protected asks whether hearing protection is on and nobody near.
	Protected struct{ Outputs []string }
	// UntilStopped asks whether it is let sound until it stops by itself, which is
	// declared to be after CutOff.
	UntilStopped struct {
		Output string
		CutOff time.Duration
	}
	// Sounding is the wait for that.
	Sounding struct{ Output string }
	// SystemCurrent is that of the whole system.
	SystemCurrent struct{ Step programme.Name }
	// DetectorVoltage is a voltage at the terminals of a detector.
	DetectorVoltage struct{ Step programme.Name }
	// WhichTrial asks which attempt at a detector does not count.
	WhichTrial struct{ Step programme.Name }
	// OnChargeAgain is a wait until a reading is due after mains came back.
	OnChargeAgain struct{ Step programme.Name }
	// TakeAgain asks whether a detector that is concluded is to be tried once more.
	TakeAgain struct{ Step programme.Name }
	// SwitchedOnByHand asks whether it is on.
	SwitchedOnByHand struct{ Output string }
	// SwitchedOffByHand asks whether it is off.
	SwitchedOffByHand struct{ Output string }
	// GoTo is the detector that is tested next.
	GoTo struct{ Step programme.Name }
	// Now is the cue: what to do at once. Do is programme.Operating or Restoring; the
	// step is named beside it unless it is the chime to listen for.
	Now struct {
		Do     Phrase
		Step   programme.Name
		Listen bool // for the output of the step
	}
	// OnStandby is a wait until a reading is due.
	OnStandby struct{ Step programme.Name }
	// Outstanding is a finding or limitation that stays.
	Outstanding struct{ Finding judge.Finding }
	// NothingOutstanding tells that there is none.
	NothingOutstanding struct{}
	// ResultStands is the result that a visit has once it is signed.
	ResultStands struct{ Result judge.Overall }
	// SignatureOf asks for the drawn signature of somebody under what was listed.
	SignatureOf struct {
		Name string
		Role programme.Role
	}
)

// Code names what it is about.
func (m Matter) Code() string           { return "matter/" + string(m) }
func (NotProved) Code() string          { return "matter/not-proved" }
func (NotHeard) Code() string           { return "matter/not-heard" }
func (Identify) Code() string           { return "matter/identify" }
func (SupplyVoltage) Code() string      { return "matter/supply-voltage" }
func (ToEnergise) Code() string         { return "matter/to-energise" }
func (Observed) Code() string           { return "matter/observed" }
func (ObservedUntil) Code() string      { return "matter/observed-until" }
func (Protected) Code() string          { return "matter/protected" }
func (UntilStopped) Code() string       { return "matter/until-stopped" }
func (Sounding) Code() string           { return "matter/sounding" }
func (SystemCurrent) Code() string      { return "matter/system-current" }
func (DetectorVoltage) Code() string    { return "matter/detector-voltage" }
func (WhichTrial) Code() string         { return "matter/which-trial" }
func (OnChargeAgain) Code() string      { return "matter/on-charge-again" }
func (TakeAgain) Code() string          { return "matter/take-again" }
func (SwitchedOnByHand) Code() string   { return "matter/switched-on-by-hand" }
func (SwitchedOffByHand) Code() string  { return "matter/switched-off-by-hand" }
func (GoTo) Code() string               { return "matter/go-to" }
func (Now) Code() string                { return "matter/now" }
func (OnStandby) Code() string          { return "matter/on-standby" }
func (Outstanding) Code() string        { return "matter/outstanding-line" }
func (NothingOutstanding) Code() string { return "matter/nothing-outstanding" }
func (ResultStands) Code() string       { return "matter/result-stands" }
func (SignatureOf) Code() string        { return "matter/signature" }
