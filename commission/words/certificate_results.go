package words

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// What the tables of a certificate say, and the sentences about them.

// ZoneEntry is a zone where the head of the column says that it is one.
type ZoneEntry programme.ZoneName

// KindLimit is the limit of a kind of detector, in s.
type KindLimit struct {
	Kind  site.DetectorKind
	Limit site.Limit
}

// WalkTestLimits are what the walk-test is held against, and by which rule, for the
// kinds that were part of it.
type WalkTestLimits struct {
	Response, ListenFor, Restore []KindLimit
	Steady                       site.Limit
}

// BrokenOff is how many trials were broken off.
type BrokenOff struct{ Trials int }

// LastTrial is what the last of several trials showed, and those before it.
type LastTrial struct {
	Verdict record.Verdict
	Trials  int
	Earlier []EarlierTrial
}

// EarlierTrial is a trial before the last. Operated is the response to being operated,
// if it was reported; WhenRestored tells that the verdict is that of the other half.
type EarlierTrial struct {
	Verdict      record.Verdict
	WhenRestored bool
	Reported     bool
	Operated     time.Duration
}

// ResponseTimes sums up the response times.
type ResponseTimes struct{ Of judge.Summary }

// ReportingProof is what all operations prove.
type ReportingProof struct{ Of judge.Proof }

// HowTimed is how times were taken, and what a time is a bound of.
type HowTimed struct{ By signal.Listening }

// VoltageOff is a voltage by when it was taken after mains was removed.
type VoltageOff struct {
	After  time.Duration
	Loaded bool // the sounder was on
}

// ReadBefore are voltages that were taken again, in V.
type ReadBefore struct{ Volt []float64 }

// Decided is what a value says about its limit.
type Decided checks.Ruling

// ColdRestart is how long the controller took to report after all power had been off.
type ColdRestart struct {
	Silent bool
	Took   time.Duration
	Limit  site.Limit
}

// ChimeTrial is what a chime did when its zone was opened. Reported is zero if the zone
// was not reported; Heard counts only if it Works.
type ChimeTrial struct {
	Zone            int
	Reported, Heard time.Duration
	Works           bool
}

// ChimeMissed is how many trials of a chime were not heard before the last.
type ChimeMissed struct{ Trials, Missed int }

// Before is what was answered before.
type Before struct{ Answers List }

// ToChange is what would put a computed row right, in words.
type ToChange struct{ Text string }

// Checked is the result of an item of a checklist in one or two words; "" is open.
type Checked record.Result

// Code names the phrase.
func (ZoneEntry) Code() string      { return "certificate/zone" }
func (KindLimit) Code() string      { return "certificate/kind-limit" }
func (WalkTestLimits) Code() string { return "certificate/walk-test-limits" }
func (BrokenOff) Code() string      { return "certificate/broken-off" }
func (LastTrial) Code() string      { return "certificate/last-trial" }
func (EarlierTrial) Code() string   { return "certificate/earlier-trial" }
func (ResponseTimes) Code() string  { return "certificate/response-times" }
func (ReportingProof) Code() string { return "certificate/reporting-proof" }
func (HowTimed) Code() string       { return "certificate/how-timed" }
func (VoltageOff) Code() string     { return "certificate/voltage-off" }
func (ReadBefore) Code() string     { return "certificate/read-before" }
func (d Decided) Code() string      { return "decided/" + string(d) }
func (ColdRestart) Code() string    { return "certificate/cold-restart" }
func (ChimeTrial) Code() string     { return "certificate/chime-trial" }
func (ChimeMissed) Code() string    { return "certificate/chime-missed" }
func (Before) Code() string         { return "certificate/before" }
func (ToChange) Code() string       { return "certificate/to-change" }
func (c Checked) Code() string      { return "checked/" + string(c) }
