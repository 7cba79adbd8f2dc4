package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// What the tables of a certificate say, and the sentences about them.

// ZoneHead is a zone above its detectors, with what is fitted there.
type ZoneHead struct {
	Zone  programme.ZoneName
	Area  string
	Kind  site.DetectorKind // "" where it is said elsewhere
	Hint  *programme.Hint   // nil where it is said elsewhere
	Cable ZoneCable         // zero where it is said elsewhere, or not known
}

// Zones are numbers of zones, rising.
type Zones []int

// LimitCell is a limit on time in a table, marked where nobody declared it.
type LimitCell site.Limit

// LimitsBy is who says what limits are: several rules, each once.
type LimitsBy []site.Limit

// SteadyRule is how long a report has to stand, and how a time is held against its limit.
type SteadyRule struct{ Steady site.Limit }

// BrokenOff is how many trials were broken off.
type BrokenOff struct{ Trials int }

// LastTrial is what the last trial that counts showed, and those before it. It is number
// Trial of all Trials, those that were struck or broken off among them: StruckTrial counts so.
type LastTrial struct {
	Verdict record.Verdict
	Trial   int
	Trials  int
	Earlier []EarlierTrial
	Mended  []string // what was done about one that was missed, as typed
}

// StruckTrial is a trial that counts no more, and why, as typed.
type StruckTrial struct {
	Trial   int
	Verdict record.Verdict // what it had shown
	Reason  string
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

// TimesInFull are the statistics of the response times, for who wants to read them.
type TimesInFull struct{ Of judge.Summary }

// OperationsCounted is what was operated and what was reported.
type OperationsCounted struct{ Of judge.Operations }

// BoundsNote says what the bounds of a table are, and what they assume.
type BoundsNote struct{ Confidence float64 }

// Share is a share of one, never rounded up.
type Share float64

// HowTimed is how times were taken, and what a time is a bound of.
type HowTimed struct {
	By    signal.Listening
	Zones []int // of one of several ways, where it did not report all
	Again bool  // what a time is a bound of was said before
}

// HeardByEither are zones that more than one of several ways can report.
type HeardByEither struct{ Zones []int }

// VoltageOff is a voltage by when it was taken after mains was removed.
type VoltageOff struct {
	After  time.Duration // that was watched
	AtMost time.Duration // with breaks, sleep and stops of the program
	Loaded bool          // the sounder was on
}

// ReadBefore are voltages that were taken again, in V.
type ReadBefore struct{ Volt []float64 }

// ColdRestart is how long the controller took to report after all power had been off.
type ColdRestart struct {
	Silent bool
	Took   time.Duration
	Limit  site.Limit
}

// OutputTrial is what a sounder or strobe did. On is how long it was energised, 0 for
// unknown; Because is why it was switched off in the middle, and After that it was answered
// only after it went off.
type OutputTrial struct {
	Kind      site.OutputKind
	Energised bool
	On        time.Duration
	Because   record.OffBecause
	After     bool
	Result    record.Result
}

// CutOffSaid is after which time an output stops by itself: declared and observed, as
// typed, "" for not.
type CutOffSaid struct{ Declared, Observed string }

// ChimeTrial is what a chime did when its zone was to be opened. Reported is zero if the
// zone was not reported; Heard counts only if it Works.
type ChimeTrial struct {
	Zone            int
	Tried           bool
	Reported, Heard time.Duration
	Works           bool
}

// ChimeMissed is how many trials of a chime were not heard before the last.
type ChimeMissed struct{ Trials, Missed int }

// Before is what was answered before.
type Before struct{ Answers List }

// ComputedTried sets the standby that was computed beside the trial without mains, 0 for
// none.
type ComputedTried struct {
	Computed string
	Tried    time.Duration
}

// BatteryForm is how the battery stands in the supply.
type BatteryForm site.Form

// CellCount is how many cells a battery has in series.
type CellCount struct{ N int }

// DeclaredAs is what the site file declares of an output.
type DeclaredAs struct{ Of List }

// ToChange is what would put a computed row right, in words.
type ToChange struct{ Text string }

// Code names the phrase.
func (ZoneHead) Code() string          { return "certificate/zone-head" }
func (Zones) Code() string             { return "certificate/zones" }
func (LimitCell) Code() string         { return "certificate/limit-cell" }
func (LimitsBy) Code() string          { return "certificate/limits-by" }
func (SteadyRule) Code() string        { return "certificate/steady-rule" }
func (BrokenOff) Code() string         { return "certificate/broken-off" }
func (LastTrial) Code() string         { return "certificate/last-trial" }
func (EarlierTrial) Code() string      { return "certificate/earlier-trial" }
func (StruckTrial) Code() string       { return "certificate/struck-trial" }
func (ResponseTimes) Code() string     { return "certificate/response-times" }
func (TimesInFull) Code() string       { return "certificate/times-in-full" }
func (OperationsCounted) Code() string { return "certificate/operations" }
func (BoundsNote) Code() string        { return "certificate/bounds" }
func (Share) Code() string             { return "certificate/share" }
func (HowTimed) Code() string          { return "certificate/how-timed" }
func (HeardByEither) Code() string     { return "certificate/heard-by-either" }
func (VoltageOff) Code() string        { return "certificate/voltage-off" }
func (ReadBefore) Code() string        { return "certificate/read-before" }
func (ColdRestart) Code() string       { return "certificate/cold-restart" }
func (OutputTrial) Code() string       { return "certificate/output-trial" }
func (CutOffSaid) Code() string        { return "certificate/cut-off" }
func (ChimeTrial) Code() string        { return "certificate/chime-trial" }
func (ChimeMissed) Code() string       { return "certificate/chime-missed" }
func (Before) Code() string            { return "certificate/before" }
func (ComputedTried) Code() string     { return "certificate/computed-tried" }
func (BatteryForm) Code() string       { return "certificate/battery-form" }
func (CellCount) Code() string         { return "certificate/cells" }
func (DeclaredAs) Code() string        { return "certificate/declared-as" }
func (ToChange) Code() string          { return "certificate/to-change" }
