package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// What page one of a certificate says, which is also a certificate of its own: its summary.

// The headings of page one. SummaryHeading is its title where it stands alone.
const (
	SummaryHeading       Heading = "summary"
	FrontListHeading     Heading = "front-list"
	FrontAlarmHeading    Heading = "front-alarm"
	FrontSupplyHeading   Heading = "front-supply"
	FrontPremisesHeading Heading = "front-premises"
)

// FrontLabel is what a fact of page one is.
type FrontLabel string

// The labels.
const (
	TestedBy  FrontLabel = "tested-by"
	TestedFor FrontLabel = "tested-for"
	SealedBy  FrontLabel = "sealed-by"
	OnTest    FrontLabel = "on-test"
	NextDueOn FrontLabel = "next-due"
	Address   FrontLabel = "address"
	FrontWhat FrontLabel = "what" // columns of the list
	FrontPart FrontLabel = "part"
	FrontWho  FrontLabel = "by-whom"
)

// FrontNote is a sentence of page one.
type FrontNote string

// The sentences.
const (
	NobodySigned   FrontNote = "nobody-signed" // no technician gave a name
	NoLicence      FrontNote = "no-licence"    // none was given
	NotSealed      FrontNote = "not-sealed"    // by nobody's key
	NotSealedMeans FrontNote = "not-sealed-means"
	ThrowAwayKey   FrontNote = "throw-away"
	ThrowAwayMeans FrontNote = "throw-away-means"
	NotOnTest      FrontNote = "not-on-test" // nobody said when
	NothingLeft    FrontNote = "nothing-left"
	NotToScale     FrontNote = "not-to-scale"
	CautionInShort FrontNote = "caution"
	NeverCame      FrontNote = "never"
	OutputsInShort FrontNote = "outputs" // a row of the supply's table
	StandbyInShort FrontNote = "standby"
	MainsInShort   FrontNote = "mains"
	WithLoad       FrontNote = "loaded"         // every output on
	NothingAgreed  FrontNote = "nothing-agreed" // about who does it
)

// FrontFigure names a number of page one.
type FrontFigure string

// The figures.
const (
	PassedFigure   FrontFigure = "passed"
	ReportedFigure FrontFigure = "reported"
	UntestedFigure FrontFigure = "not-tested"
)

// OnTestTimes are from when to when a system was on test, as typed, "" for not said.
type OnTestTimes struct{ From, To string }

// KeyBegins is the beginning of the fingerprint of a key, in groups.
type KeyBegins struct{ Digits string }

// DueOn is the day of the next visit, or why there is none; Interval what was agreed.
type DueOn struct{ Of judge.NextVisit }

// DueInterval is what was agreed, and since when it counts.
type DueInterval struct{ Of judge.NextVisit }

// TakenOn is by whom and when something is put right, nil where nothing was said.
type TakenOn struct{ Of *record.Undertaken }

// MoreOutstanding are findings and limitations that have no room on page one.
type MoreOutstanding struct {
	Findings, Limitations Graded
	Summary               bool // they stand in the full certificate
}

// VoltsWithin is a voltage with its uncertainty, 0 where that is not known.
type VoltsWithin struct{ Volt, Within float64 }

// WithoutMains is how long mains had been removed at a reading.
type WithoutMains struct{ After time.Duration }

// StandbyNeeds is what a standby takes of what is fitted.
type StandbyNeeds struct {
	Need        float64 // Ah, or Wh where InWattHours
	Fitted      string  // as typed; "" where it is Of
	Of          float64
	InWattHours bool
}

// StandbyFor is for how long, as typed.
type StandbyFor struct{ Standby, Alarm string }

// AlarmInShort sums up the one alarm: how many instants, of which so many never came.
type AlarmInShort struct{ Instants, Never, More int }

// AlarmInstant is when something of the one alarm happened, after its first instant.
type AlarmInstant struct{ Of judge.AlarmEvent }

// SummaryOf says what a summary is the summary of.
type SummaryOf struct {
	Revision int
	Company  string
}

// Code names the phrase.
func (l FrontLabel) Code() string    { return "front/label/" + string(l) }
func (n FrontNote) Code() string     { return "front/note/" + string(n) }
func (f FrontFigure) Code() string   { return "front/figure/" + string(f) }
func (OnTestTimes) Code() string     { return "front/on-test" }
func (KeyBegins) Code() string       { return "front/key" }
func (DueOn) Code() string           { return "front/due" }
func (DueInterval) Code() string     { return "front/interval" }
func (TakenOn) Code() string         { return "front/taken-on" }
func (MoreOutstanding) Code() string { return "front/more" }
func (VoltsWithin) Code() string     { return "front/volts" }
func (WithoutMains) Code() string    { return "front/without-mains" }
func (StandbyNeeds) Code() string    { return "front/standby-needs" }
func (StandbyFor) Code() string      { return "front/standby-for" }
func (AlarmInShort) Code() string    { return "front/alarm" }
func (AlarmInstant) Code() string    { return "front/instant" }
func (SummaryOf) Code() string       { return "front/summary-of" }
