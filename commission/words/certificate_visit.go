package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// What a certificate says of the whole visit, of the premises and of who signs. Times
// stand in the zone in which they are shown.

// VisitOf is what kind of visit it was, and on which day.
type VisitOf struct {
	Kind programme.VisitKind
	Day  time.Time
}

// ResultSentence is what a result means.
type ResultSentence judge.Overall

// DetailKind is what a detail is.
type DetailKind string

// The details.
const (
	LicenceDetail    DetailKind = "licence"
	GradeDetail      DetailKind = "grade"
	ClassDetail      DetailKind = "class"
	AccountDetail    DetailKind = "account"
	RateDetail       DetailKind = "rate"
	FittedDetail     DetailKind = "fitted"
	AlarmForDetail   DetailKind = "alarm-for"
	FollowsDetail    DetailKind = "follows"
	CalibratedDetail DetailKind = "calibrated"
	PhotoTakenDetail DetailKind = "photo-taken"
	HeardAsDetail    DetailKind = "frequency"
	DrawsDetail      DetailKind = "draws"
	ForDetectors     DetailKind = "for-detectors" // that the controller gives at most
	ForSounders      DetailKind = "for-sounders"
	WithinDetail     DetailKind = "within"
	ToDetail         DetailKind = "to"
	InAlarmDetail    DetailKind = "in-alarm"
	AtDetail         DetailKind = "at"
	RecordedDetail   DetailKind = "recorded"
)

// Detail is something as typed, with what it is. It says nothing if nothing was typed.
type Detail struct {
	Kind DetailKind
	Text string
}

// Span is from when to when.
type Span struct{ From, To time.Time }

// Extent counts what was done of what the visit had to take.
type Extent struct {
	Operated, Detectors, OfSite int
	Energised, Outputs          int // sounders and strobes
	Read, Readings              int // voltages
	Answered, Checks            int // items of checklists
}

// Pause is a break of the visit. To is zero if it did not end.
type Pause struct {
	From, To time.Time
	Why      record.Stop
}

// Outage is a time without a connection to the controller.
type Outage struct {
	From, To time.Time
	Ear      signal.Way // that was lost where there are several, else ""
}

// MorePauses are those that are not listed.
type MorePauses struct{ N int }

// MeterUncertainty is the expanded uncertainty of a voltmeter, in V; zero for not
// stated.
type MeterUncertainty struct{ Volt float64 }

// Accepts are the findings and limitations that somebody accepted.
type Accepts struct{ IDs []string }

// Code names the phrase.
func (VisitOf) Code() string          { return "certificate/visit" }
func (s ResultSentence) Code() string { return "certificate/result/" + string(s) }
func (d Detail) Code() string         { return "detail/" + string(d.Kind) }
func (Span) Code() string             { return "certificate/span" }
func (Extent) Code() string           { return "certificate/extent" }
func (Pause) Code() string            { return "certificate/pause" }
func (Outage) Code() string           { return "certificate/outage" }
func (MorePauses) Code() string       { return "certificate/more-pauses" }
func (MeterUncertainty) Code() string { return "certificate/meter-uncertainty" }
func (Accepts) Code() string          { return "certificate/accepts" }
