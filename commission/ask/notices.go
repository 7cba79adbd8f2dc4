package ask

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Notice is something that the technician is told.
type Notice interface {
	Phrase
	Weight() Weight
}

// Weight is how urgent a notice is.
type Weight int

// The weights, the lightest first.
const (
	Aside   Weight = iota // beside what is going on
	Plain                 // stands on its own
	Heading               // something new begins
	Caution               // to be heeded before going on
	Alarm                 // harm is done if it is missed
)

// What trials showed, and what came meanwhile.
type (
	// Proved tells of a detector that reported and restored in time.
	Proved struct {
		Point              site.Point
		Reported, Restored time.Duration
	}
	// TrialShown tells what an attempt showed that did not prove the detector.
	TrialShown struct {
		Point site.Point
		Shown judge.Shown
	}
	// ChimeHeard tells that the zone must be brought to rest again.
	ChimeHeard struct {
		Output string
		After  time.Duration
	}
	// TrialLost tells that the connection was lost; the trial is taken again.
	TrialLost struct{}
	// TrialAgain tells that signals were lost; the trial is taken again.
	TrialAgain struct{}
	// TrialAbsent tells that the program did not run while a trial waited, which is taken again.
	TrialAbsent struct {
		Lasted time.Duration
		Asleep bool
	}
	// Meanwhile tells of another zone that reported; Zone is nil for an address that
	// the site does not have.
	Meanwhile struct {
		Zone    *programme.ZoneName
		Address string
		State   signal.State
	}
	// ZoneReports tells a state of the zone that is about to be tested.
	ZoneReports struct {
		Zone  int
		State signal.State
	}
	// ZoneGarbled tells of a report that no rule of controller.yaml understands.
	ZoneGarbled struct {
		Zone int
		Raw  string
	}
	// StillActive tells that the zone reports active before the cue.
	StillActive struct{}
	// TooSoon tells that a key came sooner after the cue than anybody can react.
	TooSoon struct{}
	// NotPrinted tells that certificates cannot show all of what was typed: of which scripts.
	NotPrinted struct{ Scripts []string }
	// SameMoment tells that it was reported while "nothing came" was pressed.
	SameMoment struct{}
	// CueTooOld tells that a cue that was given out of reach cannot be taken any more.
	CueTooOld struct{ Why error }
	// Restarted tells how long after power came back the controller reported.
	Restarted struct{ After time.Duration }
)

// How the connection stands.
type (
	// NoCue tells that without a connection no cue is given.
	NoCue struct{}
	// StrangerMeanwhile tells that an address reported during a trial which no zone has:
	// the site file may have another one for the detector.
	StrangerMeanwhile struct{ Address string }
	// LostMeanwhile tells that the connection was lost while a question stood.
	LostMeanwhile struct{}
	// ElsewhereMeanwhile tells that a zone was reported during a trial by another ear than the one that it
	// belongs to.
	ElsewhereMeanwhile struct{ Zone int }
	// CallsRefused tells, once, that calls come which do not count, or not whole, and in the end of a run how
	// many they were.
	CallsRefused struct {
		signal.Refused
		Strangers int // signals of addresses that no zone has
		InAll     bool
	}
	// EarLost tells that of several ears one hears nothing now, EarBack that it does again.
	EarLost struct{ Ear signal.Way }
	EarBack struct{ Ear signal.Way }
	// NotConnected tells that the wait goes on when the connection is back.
	NotConnected struct{}
	// SignalsLost tells that signals came faster than they could be written.
	SignalsLost struct{ Signals int }
	// ConnectedAgain tells that it is back.
	ConnectedAgain struct{}
)

// What became of the computer.
type (
	// WasAbsent tells that the program did not run for a while, perhaps since the computer slept.
	WasAbsent struct {
		Lasted time.Duration
		Asleep bool
	}
	// ClockWasSet tells that the clock which shows the time of day was set, forward or back;
	// by at least so much where nothing ran meanwhile.
	ClockWasSet struct {
		By      time.Duration
		AtLeast bool
	}
)

// Where the visit stands.
type (
	// StageBegins opens a stage.
	StageBegins struct{ Stage programme.Stage }
	// StageIntroduced says what a stage is for.
	StageIntroduced struct {
		Stage     programme.Stage
		All, Open int
	}
	// StepsOpen tells that nobody can sign yet.
	StepsOpen struct{ Open int }
	// SignatureLapsed tells that a step was taken again after somebody had signed.
	SignatureLapsed struct{}
	// AnsweredBefore tells what was answered to a question before a break.
	AnsweredBefore struct {
		What Phrase
		Text string
	}
	// SetAside tells of an unfinished last write of the journal, with whole lines in it
	// where a gap stands before them; of the entries that are left.
	SetAside struct {
		Bytes, Lines, Left int
		File               string
	}
	// TakenAs tells which unit a bare number was taken to have.
	TakenAs struct{ Text string }
	// LeftUnmeasured tells that what may be measured was not.
	LeftUnmeasured struct{ Step programme.Name }
	// Struck tells that a trial no longer counts.
	Struck struct {
		Step   programme.Name
		Number int
	}
	// NothingToStrike tells that no trial of the visit counts yet.
	NothingToStrike struct{}
	// PracticeVoltmeter tells that a simulated voltmeter takes the place of a real one.
	PracticeVoltmeter struct{}
)

// What is energised, and what is without power.
type (
	// LoudCaution comes before a sounder is energised.
	LoudCaution struct{}
	// MayBeOn tells what a break may have left switched on.
	MayBeOn struct{ Outputs []string }
	// SwitchOff tells the technician to do so by hand.
	SwitchOff struct{ Output string }
	// StillOn tells that it is on still, as the technician says.
	StillOn struct{ Output string }
	// MakeSureOff tells that it was switched on by hand.
	MakeSureOff struct{ Output string }
	// NotSwitchedOn tells that the command was certainly not carried out.
	NotSwitchedOn struct {
		Output string
		Why    error
	}
	// NotSwitchedOff tells that the controller could not.
	NotSwitchedOff struct {
		Output string
		Why    error
	}
	// SwitchedOff tells that it could, after all.
	SwitchedOff struct{ Output string }
	// NotLoaded tells that a reading under load came after the load was gone.
	NotLoaded struct{ Outputs []string }
	// OffMeanwhile tells that an output was off before what it did was answered.
	OffMeanwhile struct{ Output string }
	// StoppedAfter tells when an output stopped by itself.
	StoppedAfter struct {
		Output string
		After  time.Duration
	}
	// DidNotStop tells that it was on for that long, and was switched off then.
	DidNotStop struct {
		Output string
		After  time.Duration
	}
	// MainsMayBeOff tells that it was removed before a break.
	MainsMayBeOff struct{}
	// MainsStillOff tells that it must not be forgotten.
	MainsStillOff struct{}
)

// Code names the notice.
func (Proved) Code() string             { return "notice/proved" }
func (TrialShown) Code() string         { return "notice/trial-shown" }
func (ChimeHeard) Code() string         { return "notice/chime-heard" }
func (TrialLost) Code() string          { return "notice/trial-lost" }
func (TrialAgain) Code() string         { return "notice/trial-again" }
func (TrialAbsent) Code() string        { return "notice/trial-absent" }
func (WasAbsent) Code() string          { return "notice/was-absent" }
func (ClockWasSet) Code() string        { return "notice/clock-was-set" }
func (SignalsLost) Code() string        { return "notice/signals-lost" }
func (Meanwhile) Code() string          { return "notice/meanwhile" }
func (ZoneReports) Code() string        { return "notice/zone-reports" }
func (ZoneGarbled) Code() string        { return "notice/zone-garbled" }
func (StillActive) Code() string        { return "notice/still-active" }
func (TooSoon) Code() string            { return "notice/too-soon" }
func (SameMoment) Code() string         { return "notice/same-moment" }
func (NotPrinted) Code() string         { return "notice/not-printed" }
func (CueTooOld) Code() string          { return "notice/cue-too-old" }
func (Restarted) Code() string          { return "notice/restarted" }
func (NoCue) Code() string              { return "notice/no-cue" }
func (StrangerMeanwhile) Code() string  { return "notice/stranger-meanwhile" }
func (CallsRefused) Code() string       { return "notice/calls-refused" }
func (EarLost) Code() string            { return "notice/ear-lost" }
func (EarBack) Code() string            { return "notice/ear-back" }
func (ElsewhereMeanwhile) Code() string { return "notice/elsewhere-meanwhile" }
func (LostMeanwhile) Code() string      { return "notice/lost-meanwhile" }
func (NotConnected) Code() string       { return "notice/not-connected" }
func (ConnectedAgain) Code() string     { return "notice/connected-again" }
func (StageBegins) Code() string        { return "notice/stage-begins" }
func (StageIntroduced) Code() string    { return "notice/stage-introduced" }
func (StepsOpen) Code() string          { return "notice/steps-open" }
func (SignatureLapsed) Code() string    { return "notice/signature-lapsed" }
func (AnsweredBefore) Code() string     { return "notice/answered-before" }
func (TakenAs) Code() string            { return "notice/taken-as" }
func (LeftUnmeasured) Code() string     { return "notice/left-unmeasured" }
func (Struck) Code() string             { return "notice/struck" }
func (NothingToStrike) Code() string    { return "notice/nothing-to-strike" }
func (OffMeanwhile) Code() string       { return "notice/off-meanwhile" }
func (StoppedAfter) Code() string       { return "notice/stopped-after" }
func (DidNotStop) Code() string         { return "notice/did-not-stop" }
func (SetAside) Code() string           { return "notice/set-aside" }
func (PracticeVoltmeter) Code() string  { return "notice/practice-voltmeter" }
func (LoudCaution) Code() string        { return "notice/loud-caution" }
func (MayBeOn) Code() string            { return "notice/may-be-on" }
func (SwitchOff) Code() string          { return "notice/switch-off" }
func (StillOn) Code() string            { return "notice/still-on" }
func (MakeSureOff) Code() string        { return "notice/make-sure-off" }
func (NotSwitchedOn) Code() string      { return "notice/not-switched-on" }
func (NotSwitchedOff) Code() string     { return "notice/not-switched-off" }
func (SwitchedOff) Code() string        { return "notice/switched-off" }
func (NotLoaded) Code() string          { return "notice/not-loaded" }
func (MainsMayBeOff) Code() string      { return "notice/mains-may-be-off" }
func (MainsStillOff) Code() string      { return "notice/mains-still-off" }

// Weight is how urgent the notice is.
func (Proved) Weight() Weight             { return Aside }
func (TrialShown) Weight() Weight         { return Aside }
func (ChimeHeard) Weight() Weight         { return Aside }
func (TrialLost) Weight() Weight          { return Aside }
func (TrialAgain) Weight() Weight         { return Aside }
func (TrialAbsent) Weight() Weight        { return Aside }
func (WasAbsent) Weight() Weight          { return Alarm }
func (ClockWasSet) Weight() Weight        { return Alarm }
func (SignalsLost) Weight() Weight        { return Alarm }
func (Meanwhile) Weight() Weight          { return Aside }
func (ZoneReports) Weight() Weight        { return Aside }
func (ZoneGarbled) Weight() Weight        { return Aside }
func (StillActive) Weight() Weight        { return Aside }
func (TooSoon) Weight() Weight            { return Aside }
func (SameMoment) Weight() Weight         { return Aside }
func (NotPrinted) Weight() Weight         { return Plain }
func (CueTooOld) Weight() Weight          { return Aside }
func (Restarted) Weight() Weight          { return Aside }
func (NoCue) Weight() Weight              { return Aside }
func (StrangerMeanwhile) Weight() Weight  { return Aside }
func (CallsRefused) Weight() Weight       { return Plain }
func (EarLost) Weight() Weight            { return Alarm }
func (EarBack) Weight() Weight            { return Aside }
func (ElsewhereMeanwhile) Weight() Weight { return Aside }
func (LostMeanwhile) Weight() Weight      { return Aside }
func (NotConnected) Weight() Weight       { return Alarm }
func (ConnectedAgain) Weight() Weight     { return Aside }
func (StageBegins) Weight() Weight        { return Heading }
func (StageIntroduced) Weight() Weight    { return Plain }
func (StepsOpen) Weight() Weight          { return Aside }
func (SignatureLapsed) Weight() Weight    { return Aside }
func (AnsweredBefore) Weight() Weight     { return Aside }
func (TakenAs) Weight() Weight            { return Aside }
func (LeftUnmeasured) Weight() Weight     { return Aside }
func (Struck) Weight() Weight             { return Plain }
func (NothingToStrike) Weight() Weight    { return Plain }
func (OffMeanwhile) Weight() Weight       { return Plain }
func (StoppedAfter) Weight() Weight       { return Plain }
func (DidNotStop) Weight() Weight         { return Plain }
func (SetAside) Weight() Weight           { return Plain }
func (PracticeVoltmeter) Weight() Weight  { return Aside }
func (LoudCaution) Weight() Weight        { return Caution }
func (MayBeOn) Weight() Weight            { return Plain }
func (SwitchOff) Weight() Weight          { return Alarm }
func (StillOn) Weight() Weight            { return Alarm }
func (MakeSureOff) Weight() Weight        { return Alarm }
func (NotSwitchedOn) Weight() Weight      { return Alarm }
func (NotSwitchedOff) Weight() Weight     { return Alarm }
func (SwitchedOff) Weight() Weight        { return Aside }
func (NotLoaded) Weight() Weight          { return Aside }
func (MainsMayBeOff) Weight() Weight      { return Caution }
func (MainsStillOff) Weight() Weight      { return Alarm }
