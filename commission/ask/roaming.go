package ask

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What is told and asked of a technician who operates in their own order, or who went to a
// detector that is concluded; and of outputs that a phone holds.
type (
	// Ticked tells that a detector is proved that nobody was told to operate, or that nobody
	// could time. After is how fast it was reported, 0 where that is not known.
	Ticked struct {
		Point site.Point
		After time.Duration
	}
	// ReportsActive tells that a detector's operation has been heard.
	ReportsActive struct{ Step programme.Name }
	// TouchedConcluded tells that a touch that was kept is of a detector that needs nothing more.
	TouchedConcluded struct{ Step programme.Name }
	// OperatedAgain tells that a zone was operated whose detectors need nothing more.
	OperatedAgain struct{ Zone programme.ZoneName }
	// NothingToCorrect tells that nothing was heard yet.
	NothingToCorrect struct{}
	// ToOperateAgain tells that a detector has to be operated once more: what was heard of it
	// is struck.
	ToOperateAgain struct{ Step programme.Name }
	// RoomShown tells of a detector at the end of a room. Verdict is that of its last attempt,
	// "" for none.
	RoomShown struct {
		Step    programme.Name
		How     RoomHow
		Verdict record.Verdict
	}
	// RoomEmpty tells that nothing was heard in it.
	RoomEmpty struct{}
	// TouchesUnanswered tells that nothing came of touches.
	TouchesUnanswered struct{ Touches int }
	// AllOperated tells that no detector is open any more.
	AllOperated struct{}
	// LooksAt tells of a detector that was gone to what it showed.
	LooksAt struct {
		Step     programme.Name
		Attempts []TrialChoice
		Result   record.Result // that it was answered with, "" for none
		Remark   string
	}
)

// Of outputs.
type (
	// Silenced tells that outputs are switched off as the technician asked.
	Silenced struct{ Outputs []string }
	// PhoneSilent tells that an output is switched off since the phone is out of reach.
	PhoneSilent struct {
		Output string
		Since  time.Duration
	}
	// PhoneHolds tells before anything is energised what becomes of it if the phone falls
	// silent.
	PhoneHolds struct{ Within time.Duration }
)

// RoomHow is how a detector stands at the end of a room.
type RoomHow string

// How it stands.
const (
	RoomTried     RoomHow = "tried"
	RoomStillOpen RoomHow = "still-open" // reported active, and not at rest since
	RoomNoReport  RoomHow = "no-report"  // expected here, and it did not come
)

// Code names it.
func (h RoomHow) Code() string { return "room/" + string(h) }

// What a wait or a question is about.
type (
	// Roaming is the wait for whatever is operated.
	Roaming struct{}
	// WhichOf asks which detector of a zone was operated.
	WhichOf struct{ Zone programme.ZoneName }
	// OperatedInstead asks what was operated instead.
	OperatedInstead struct{ Step programme.Name }
	// WasNotOperated tells why a report does not count: what reported was not operated.
	WasNotOperated struct{ Step programme.Name }
	// NoReport asks what is to become of a detector of which no report came.
	NoReport struct{ Step programme.Name }
	// StaysOpen asks what is to become of a detector that is not at rest.
	StaysOpen struct{ Step programme.Name }
	// NoReports asks whether several such detectors are gone through.
	NoReports struct{ Detectors int }
)

// RoamChoice is what an option means while roaming.
type RoamChoice string

// The choices.
const (
	NoneOfThese     RoamChoice = "none-of-these"
	ItWasRight      RoamChoice = "it-was-right"
	NotYetOperated  RoamChoice = "not-yet"
	NothingCame     RoamChoice = "nothing-came"
	NotAtRest       RoamChoice = "not-at-rest"
	OneByOne        RoamChoice = "one-by-one"
	NotTestedAtAll  RoamChoice = "left-out"
	AnotherDetector RoamChoice = "another"
)

// RoamStatus is how the walk stands: Open of All detectors, and the zones that report active.
type RoamStatus struct {
	All, Open int
	Active    []programme.ZoneName
}

// Counting counts down to a cue; 0 is the cue.
type Counting struct{ Left int }

// Code names it.
func (Ticked) Code() string            { return "notice/ticked" }
func (ReportsActive) Code() string     { return "notice/reports-active" }
func (TouchedConcluded) Code() string  { return "notice/touched-concluded" }
func (OperatedAgain) Code() string     { return "notice/operated-again" }
func (NothingToCorrect) Code() string  { return "notice/nothing-to-correct" }
func (ToOperateAgain) Code() string    { return "notice/to-operate-again" }
func (RoomShown) Code() string         { return "notice/room-shown" }
func (RoomEmpty) Code() string         { return "notice/room-empty" }
func (TouchesUnanswered) Code() string { return "notice/touches-unanswered" }
func (AllOperated) Code() string       { return "notice/all-operated" }
func (LooksAt) Code() string           { return "notice/looks-at" }
func (Silenced) Code() string          { return "notice/silenced" }
func (PhoneSilent) Code() string       { return "notice/phone-silent" }
func (PhoneHolds) Code() string        { return "notice/phone-holds" }
func (Counting) Code() string          { return "notice/counting" }
func (Roaming) Code() string           { return "matter/roaming" }
func (WhichOf) Code() string           { return "matter/which-of" }
func (OperatedInstead) Code() string   { return "matter/operated-instead" }
func (WasNotOperated) Code() string    { return "matter/was-not-operated" }
func (NoReport) Code() string          { return "matter/no-report" }
func (StaysOpen) Code() string         { return "matter/stays-open" }
func (NoReports) Code() string         { return "matter/no-reports" }
func (c RoamChoice) Code() string      { return "choice/" + string(c) }
func (RoamStatus) Code() string        { return "status/roam" }

// Weight is how urgent the notice is. A count is heard.
func (Ticked) Weight() Weight            { return Aside }
func (ReportsActive) Weight() Weight     { return Aside }
func (TouchedConcluded) Weight() Weight  { return Aside }
func (OperatedAgain) Weight() Weight     { return Aside }
func (NothingToCorrect) Weight() Weight  { return Aside }
func (ToOperateAgain) Weight() Weight    { return Plain }
func (RoomShown) Weight() Weight         { return Plain }
func (RoomEmpty) Weight() Weight         { return Plain }
func (TouchesUnanswered) Weight() Weight { return Plain }
func (AllOperated) Weight() Weight       { return Plain }
func (LooksAt) Weight() Weight           { return Plain }
func (Silenced) Weight() Weight          { return Plain }
func (PhoneSilent) Weight() Weight       { return Alarm }
func (PhoneHolds) Weight() Weight        { return Caution }
func (Counting) Weight() Weight          { return Alarm }
