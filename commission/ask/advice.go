package ask

import "time"

// Advice helps to answer, where it needs no argument.
type Advice string

// The advice.
const (
	RepairAdvice      Advice = "repair"        // repeat it after a repair, or leave it
	RepeatAdvice      Advice = "repeat"        // repeat it, or leave it
	PrintedAdvice     Advice = "printed"       // a reason is printed on the certificate
	BothWaysAdvice    Advice = "both-ways"     // it is energised and switched off again
	OffByAnswerAdvice Advice = "off-by-answer" // it is switched off by the answer
	ByHandAdvice      Advice = "by-hand"       // the program cannot switch it
	AllPowerAdvice    Advice = "all-power"     // adapter and battery are both off
	PathAdvice        Advice = "path"          // why it is asked
	PutRightAdvice    Advice = "put-right"     // it can still be
	AcceptAdvice      Advice = "accept"        // what a name accepts
	StrokesAdvice     Advice = "strokes"       // what a drawing looks like, and proves
	TerminalsAdvice   Advice = "terminals"     // where a voltage is measured
	LevelAdvice       Advice = "level"         // what may be said besides
	DataSheetAdvice   Advice = "data-sheet"    // where it is known from
	IdentifierAdvice  Advice = "identifier"    // an example
	AnnounceAdvice    Advice = "announce"      // a signal that frightens people
	LifeSafetyAdvice  Advice = "life-safety"   // the fire code decides
	OperateNearAdvice Advice = "operate-near"  // until something is reported
	UndertakeAdvice   Advice = "undertake"     // how an action is left out, offered or typed
	NotAtOnceAdvice   Advice = "not-at-once"   // of a current: it may be left out
	FarAdvice         Advice = "far"           // at the terminals of the detector
	SpoiledAdvice     Advice = "spoiled"       // what striking does
	UntilItStops      Advice = "until-it-stops"
)

// Advice with arguments.
type (
	// OffSoon tells that what is energised is switched off after the questions that
	// follow, and after a time at the latest.
	OffSoon struct{ Most time.Duration }
	// SoundsWhile tells that readings are taken while outputs are on.
	SoundsWhile struct{ Outputs []string }
	// OnCharge tells how long a battery should have been.
	OnCharge struct{ For time.Duration }
	// StepsLeft is how much of a stage is still to do.
	StepsLeft struct{ All, Open int }
	// Where is a location, as the site file has it.
	Where struct{ Location string }
)

// Code names the advice.
func (a Advice) Code() string    { return "advice/" + string(a) }
func (SoundsWhile) Code() string { return "advice/sounds-while" }
func (OffSoon) Code() string     { return "advice/off-soon" }
func (OnCharge) Code() string    { return "advice/on-charge" }
func (StepsLeft) Code() string   { return "advice/steps-left" }
func (Where) Code() string       { return "advice/where" }
