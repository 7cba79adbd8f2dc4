package words

import (
	"math"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// What is said of how a system changed since earlier visits.

// SinceHeading is the title of what changed since the latest of them.
type SinceHeading struct{ Day time.Time }

// SinceLabel is what a value, an axis or a mark of a chart is labelled with.
type SinceLabel string

// The labels.
const (
	VisitSince      SinceLabel = "visit"
	DaySince        SinceLabel = "day"
	TechnicianSince SinceLabel = "technician"
	RecordSince     SinceLabel = "record"
	ComparedSince   SinceLabel = "compared"
	MeasureSince    SinceLabel = "measure"
	ThenSince       SinceLabel = "then"
	NowSince        SinceLabel = "now"
	DifferenceSince SinceLabel = "difference"
	WithinSince     SinceLabel = "within"
	ChangeSince     SinceLabel = "change"
	ShareAxis       SinceLabel = "share-of-limit"
	MinutesAxis     SinceLabel = "minutes"
	VoltAxis        SinceLabel = "volt"
	VisitAxis       SinceLabel = "visit-axis"
	LimitMark       SinceLabel = "limit-mark"
	SlopeMark       SinceLabel = "slope-mark"
	MeasuredMark    SinceLabel = "measured-mark"
)

// SinceNote explains. Each is a sentence or two.
type SinceNote string

// The notes.
const (
	// ReactionNote: a person is in every response.
	ReactionNote SinceNote = "reaction"
	// NoneComparedNote: there are earlier visits, and nothing of them can be compared.
	NoneComparedNote SinceNote = "none-compared"
)

// SinceRule is by what rule it is judged what changed.
type SinceRule struct{ Of judge.Since }

// SinceMore are earlier visits that are not listed.
type SinceMore struct{ Visits int }

// SinceOf is what was measured: response, or voltage after so many minutes without mains.
type SinceOf struct {
	Of    judge.Measure
	After float64         // s
	Step  *programme.Name // of a voltage with mains present
}

// SinceChange is how it changed, in a word or two.
type SinceChange struct {
	Of          judge.Measure
	Change      judge.Change
	MayBeChance bool // none is claimed, though the difference is larger than its uncertainty
}

// SinceValue is a value in the unit of its measure; With has the unit beside it.
type SinceValue struct {
	Of     judge.Measure
	Value  float64
	Signed bool // a difference
	With   bool
}

// SinceAlike are detectors whose times show no difference.
type SinceAlike struct {
	Of      []SincePair
	Changed bool // they show one
}

// SinceFromTo is a value then and now, with its unit.
type SinceFromTo struct {
	Of        judge.Measure
	Then, Now float64
}

// SinceAxis is the name of an axis of values, with the unit.
type SinceAxis struct{ Of judge.Measure }

// SincePair is a time then and now, in s.
type SincePair struct {
	Point     site.Point
	Of        judge.Measure
	Then, Now float64
}

// SinceNot is what is not compared, and why.
type SinceNot struct {
	Why judge.Incomparable
	Of  []site.Point // none for the supply
	Row []SinceOf
}

// SinceLater says why a later visit than the one compared with is none to compare with.
type SinceLater struct {
	Why judge.Incomparable
	Day time.Time // of the one that is compared with
}

// SinceThenNow says what a chart of responses then and now shows.
type SinceThenNow struct {
	Shown, All int // detectors
	Worse      int // of all
}

// SinceStandby says what a chart of voltages without mains shows.
type SinceStandby struct {
	Then  time.Time
	Fell  Fall
	Limit *site.Limit
}

// Fall is how a supply voltage fell since an earlier visit.
type Fall int

// The ways, the least certain first.
const (
	FellNot     Fall = iota // by no more than its uncertainty
	FellPerhaps             // by more, which may be chance
	FellByTrend             // over several visits
	FellShown               // between the two
)

// FallOf is how far that of a line is shown.
func FallOf(l judge.SinceLine) Fall {
	difference, within := SincePrinted(l)
	switch {
	case l.Change == judge.WorseByStep:
		return FellShown
	case l.Change == judge.WorseByAll:
		return FellByTrend
	case l.Two != nil && difference < -within:
		return FellPerhaps
	}
	return FellNot
}

// SincePrinted is the difference of the two values of a line, and its uncertainty, as they are printed: whoever
// subtracts on paper finds the same. Both are 0 where nothing is compared.
func SincePrinted(l judge.SinceLine) (difference, within float64) {
	if l.Two == nil || l.Then() == nil {
		return 0, 0
	}
	printed := func(v float64) float64 {
		ten := math.Pow10(decimalsOf(l.Of, v))
		return math.Round(v*ten) / ten
	}
	difference = printed(l.Now().Value) - printed(l.Then().Value)
	return math.Round(difference*1e6) / 1e6, printed(l.Two.Expanded)
}

// SinceChangeOf is how a line changed. What is larger than its uncertainty and is not claimed may be chance.
func SinceChangeOf(l judge.SinceLine) SinceChange {
	difference, within := SincePrinted(l)
	return SinceChange{l.Of, l.Change, l.Change == judge.NoChange && math.Abs(difference) > within}
}

// mostWorsened are those that are told one by one.
const mostWorsened = 2

// WorstOf is the one that stands for many: the first that meets its limit, else the last; more are the others, 0 where
// all are told.
func WorstOf(all []judge.Worsened) (worst judge.Worsened, more int) {
	if len(all) <= mostWorsened {
		return worst, 0
	}
	worst = all[len(all)-1]
	for _, w := range all {
		if w.Meets != nil {
			return w, len(all) - 1
		}
	}
	return worst, len(all) - 1
}

// SinceSlope says what a chart over several visits shows.
type SinceSlope struct {
	Of    SinceOf
	About *programme.DetectorName
	Line  judge.SinceLine
}

// Code names the phrase.
func (SinceHeading) Code() string { return "since/heading" }
func (l SinceLabel) Code() string { return "since/label/" + string(l) }
func (n SinceNote) Code() string  { return "since/note/" + string(n) }
func (SinceRule) Code() string    { return "since/rule" }
func (SinceMore) Code() string    { return "since/more" }
func (SinceOf) Code() string      { return "since/of" }
func (SinceChange) Code() string  { return "since/change" }
func (SinceValue) Code() string   { return "since/value" }
func (SinceAlike) Code() string   { return "since/alike" }
func (SinceNot) Code() string     { return "since/not-compared" }
func (SinceLater) Code() string   { return "since/later" }
func (SinceThenNow) Code() string { return "since/then-now" }
func (SinceStandby) Code() string { return "since/standby" }
func (SinceFromTo) Code() string  { return "since/from-to" }
func (SinceAxis) Code() string    { return "since/axis" }
func (SinceSlope) Code() string   { return "since/slope" }
