package ask

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// Choice is what an option means, where that needs no argument.
type Choice string

// The choices.
const (
	LeaveChoice         Choice = "leave" // the stage, for now
	PauseChoice         Choice = "pause"
	NoneChoice          Choice = "none"
	OtherChoice         Choice = "other" // by its number or name
	DoneChoice          Choice = "done"  // and it is so
	NotApplicableChoice Choice = "not-applicable"
	DefectChoice        Choice = "defect"
	BackToListChoice    Choice = "back" // of which it is a line
	NotCheckedChoice    Choice = "not-checked"
	AgainChoice         Choice = "again"
	AsItIsChoice        Choice = "as-it-is"
	NoteChoice          Choice = "note"
	NotTestedChoice     Choice = "not-tested"
	JustDoneChoice      Choice = "just-done"
	CannotChoice        Choice = "cannot" // be done here
	PathYesChoice       Choice = "path-yes"
	PathNoChoice        Choice = "path-no"
	PathNothingChoice   Choice = "path-nothing"
	PathUnknownChoice   Choice = "path-unknown"
	PowerOffChoice      Choice = "power-off"
	SignChoice          Choice = "sign"
	AcceptChoice        Choice = "accept"
	RefuseChoice        Choice = "refuse"
	AbsentChoice        Choice = "absent"
	StrikeChoice        Choice = "strike" // a trial that was spoiled
	ChargedYesChoice    Choice = "charged-yes"
	ChargedNoChoice     Choice = "charged-no"
	NotKnownChoice      Choice = "not-known"
	UsualActionChoice   Choice = "usual-action" // put right, and tested again
	AllLaterChoice      Choice = "all-later"    // nothing is said now
	NotMeasuredChoice   Choice = "not-measured" // what may be left out
	PutRightChoice      Choice = "put-right"    // what was outstanding
	StillSoChoice       Choice = "still-so"
	NotLookedAtChoice   Choice = "not-looked-at"
	ValueChoice         Choice = "value" // another than the one that stands there, or one at all
)

// Choices with arguments.
type (
	// EnergiseChoice energises outputs, all at once.
	EnergiseChoice struct{ Outputs []string }
	// RedoChoice takes the last reading or answer again, which is that of a step.
	RedoChoice struct{ Of Phrase }
	// TrialChoice is an attempt at a detector, counted from 1; Shown is what it showed.
	TrialChoice struct {
		Number int
		Shown  judge.Shown
	}
	// StageChoice goes on with a stage; Open of All its steps are open.
	StageChoice struct {
		Stage     programme.Stage
		All, Open int
	}
)

// Code names the choice.
func (c Choice) Code() string       { return "choice/" + string(c) }
func (EnergiseChoice) Code() string { return "choice/energise" }
func (RedoChoice) Code() string     { return "choice/redo" }
func (TrialChoice) Code() string    { return "choice/trial" }
func (StageChoice) Code() string    { return "choice/stage" }
