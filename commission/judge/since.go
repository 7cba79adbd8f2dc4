package judge

import (
	"cmp"
	"math"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What changed since earlier visits. The rule, which pages state:
//
//   - What was measured now is held against what the latest earlier visit measured that can
//     be compared, with both uncertainties (checks.Compare). Whoever operates a detector is
//     in its times, and no detector answers twice alike: for both, a share of the limit that
//     is usual for its kind is allowed for at each visit, and sinceReaction at least; for
//     what a battery's temperature and charge make of its voltage, sinceVolt.
//     It got worse, or better, where the change is larger than its uncertainty, and where its
//     probability in that direction passes Holm's test among all such comparisons of the visit
//     together. A change that is larger than its uncertainty and does not pass may be chance.
//   - From four visits on that can be compared, a trend is shown by Mann–Kendall with its
//     exact probability, each at sinceLevel in the direction that is worse, and its slope by
//     Theil–Sen at the true times. Since there are many, how many are shown by chance is
//     said. Of three visits no order is rare enough: none is claimed.
//   - Where the slope meets the limit before the next visit is due, it is said when.
//
// What got worse limits the result. A detector that got slower does so only where no more
// than sinceRoom is left of the time that it had to its limit, from what it was held against
// (of a trend: from the first visit), or where its slope meets the limit before the next
// visit: a slower answer that is far from its limit is in the table, and limits nothing. A
// battery has no such room: its voltage says little until it is nearly empty. But a trend of
// its voltage that meets a declared limit, by its slope, only after more than sinceFar years is
// told, and limits nothing (common practice, no source).
//
// What limits so holds still, so that it is a limitation with the weight of advice and no
// defect: nothing of it makes a visit unsatisfactory, since a level of 5 % and a
// reaction of 0.2 s are only ours. It is none of the notes that limit nothing, since whoever
// accepts the result should know that it may not last, and since what a retest or the next
// visit has to look at follows from limitations. Where no direction is worse (a charger's
// voltage, a loop), a change is told and limits nothing.
var (
	sinceLevel    = checks.Usual("since/level")
	sinceReaction = checks.Usual("since/reaction")
	sinceVolt     = checks.Usual("since/battery-volt")
	sinceSpread   = checks.Usual("since/spread")
	sinceMinute   = checks.Usual("since/same-minute")
	sinceInterval = checks.Usual("since/interval")
	sinceRoom     = checks.Usual("since/room")
	sinceFar      = checks.Usual("since/far")
)

const (
	confidenceOfSlope = 0.95
	yearSeconds       = 365.25 * 24 * 3600
	mostVisits        = 100 // earlier ones that are looked at, the latest
)

// Measure is what is compared between visits.
type Measure string

// The measures.
const (
	ResponseSince Measure = "response"
	RestoredSince Measure = "restored"
	LoopSince     Measure = "loop"
	MainsSince    Measure = "with mains"
	StandbySince  Measure = "on standby"
	LoadedSince   Measure = "under load"
	InternalSince Measure = "internal resistance"
)

// Code names the measure.
func (m Measure) Code() string { return "since/" + string(m) }

// worse is the direction that is worse: 1 for higher, −1 for lower, 0 for neither.
func (m Measure) worse() float64 {
	switch m {
	case ResponseSince, RestoredSince, InternalSince:
		return 1
	case StandbySince, LoadedSince:
		return -1
	}
	return 0
}

func (m Measure) timed() bool { return m == ResponseSince || m == RestoredSince }

// Unit is the SI unit of its values: s, V or ohm.
func (m Measure) Unit() string {
	switch m {
	case ResponseSince, RestoredSince:
		return "s"
	case LoopSince, InternalSince:
		return "ohm"
	}
	return "V"
}

// Incomparable is why something is not compared with an earlier visit.
type Incomparable string

// The reasons.
const (
	PracticeThen    Incomparable = "practice" // one of the two was simulated
	LaterThen       Incomparable = "later"    // it did not begin before this one
	RenamedThen     Incomparable = "renamed"  // another name or kind stands at the point
	TimedThen       Incomparable = "timed otherwise"
	InstrumentThen  Incomparable = "other instrument"
	BatteryThen     Incomparable = "battery renewed"
	BatteryUnsaid   Incomparable = "battery not said" // one of the two does not say when it was fitted
	MinuteThen      Incomparable = "other minute"
	UncertaintyThen Incomparable = "uncertainty not stated"
	NotThen         Incomparable = "not measured then"
	NotNow          Incomparable = "not measured now"
)

// Incomparables are all of them.
var Incomparables = []Incomparable{PracticeThen, LaterThen, RenamedThen, TimedThen, InstrumentThen, BatteryThen,
	BatteryUnsaid, MinuteThen, UncertaintyThen, NotThen, NotNow}

// Code names the reason.
func (i Incomparable) Code() string { return "incomparable/" + string(i) }

// Change is how something changed since an earlier visit, for the worse or else.
type Change string

// The changes.
const (
	NoChange    Change = ""           // none is shown
	GotBetter   Change = "better"     // between two visits
	GotOther    Change = "other"      // where no direction is worse
	WorseByStep Change = "worse step" // between two visits
	WorseByAll  Change = "worse trend"
)

// Code names the change.
func (c Change) Code() string { return "change/" + string(c) }

// Worse tells whether it is one for the worse.
func (c Change) Worse() bool { return c == WorseByStep || c == WorseByAll }

// Since is what changed since earlier visits.
type Since struct {
	Visits []VisitThen `json:"visits"`                  // the earlier ones, by when they were begun
	Before int         `json:"visits_before,omitempty"` // further ones, which are not looked at
	Lines  []SinceLine `json:"lines"`                   // of detectors, then of the supply
	// Compared is how many were held against Holm together; Trends how many were held against
	// a level each, of which ByChance are expected to pass where nothing changes.
	Compared int       `json:"compared"`
	Trends   int       `json:"trends"`
	ByChance float64   `json:"expected_by_chance"`
	NextDue  time.Time `json:"next_due"`
	// NextAssumed: nobody declared when that is.
	NextAssumed bool `json:"next_assumed,omitempty"`
}

// VisitThen is an earlier visit.
type VisitThen struct {
	Kind        programme.VisitKind `json:"visit"`
	Number      string              `json:"number"`
	Journal     string              `json:"journal_sha256"`
	Certificate string              `json:"certificate_sha256,omitempty"`
	Company     string              `json:"company"`
	Technician  string              `json:"technician,omitempty"`
	Begun       time.Time           `json:"begun"`
	Why         Incomparable        `json:"not_compared,omitempty"` // as a whole
}

// SinceLine is one thing that was measured, then and now. Values are in the unit of Of.
type SinceLine struct {
	Of       Measure                 `json:"of"`
	Unit     string                  `json:"unit"` // of its values: s, V, ohm
	Step     string                  `json:"step"` // of this visit
	Detector *programme.DetectorName `json:"detector,omitempty"`
	// After is how long mains had been removed now, in s; 0 while it was present.
	After  float64     `json:"after_second,omitempty"`
	Limit  *site.Limit `json:"limit,omitempty"`
	Points []SinceWhen `json:"points"` // that can be compared, by time; the last is now
	// Why nothing stands beside now, "" where something does. Latest is then why a later visit
	// that measured it does not.
	Why    Incomparable `json:"not_compared,omitempty"`
	Latest Incomparable `json:"latest_not_compared,omitempty"`
	Two    *SinceTwo    `json:"two,omitempty"`
	Trend  *SinceTrend  `json:"trend,omitempty"`
	Change Change       `json:"change,omitempty"`
	Meets  *time.Time   `json:"meets_limit,omitempty"` // by the slope, before the next visit is due
	// Limiting tells that it got worse so that it limits the result.
	Limiting bool           `json:"limiting,omitempty"`
	held     *checks.Change // as it was computed
	trend    *checks.Trend
}

// SinceWhen is a value at a visit. Expanded is its uncertainty (k = 2), with what a person
// and a detector's own spread add to it.
type SinceWhen struct {
	At       time.Time `json:"at"` // when its visit was begun
	Value    float64   `json:"value"`
	Expanded float64   `json:"uncertainty"`
}

// SinceTwo is the comparison of the last two values.
type SinceTwo struct {
	Difference float64 `json:"difference"`
	Expanded   float64 `json:"uncertainty"`
	En         float64 `json:"en"`
	OneSided   float64 `json:"p_one_sided"`
}

// SinceTrend is that of four values and more. Slopes are by year of 365.25 days; Low and
// High are nil where there is no interval.
type SinceTrend struct {
	N        int      `json:"n"`
	S        int      `json:"s"`
	OneSided float64  `json:"p_one_sided"`
	Exact    bool     `json:"exact,omitempty"`
	Slope    float64  `json:"slope_per_year"`
	Start    float64  `json:"value_at_first"` // of the line of the slope, at the first value's time
	Low      *float64 `json:"slope_low_per_year,omitempty"`
	High     *float64 `json:"slope_high_per_year,omitempty"`
}

// Then is the value that now is held against, nil for none.
func (l SinceLine) Then() *SinceWhen {
	if len(l.Points) < 2 {
		return nil
	}
	return &l.Points[len(l.Points)-2]
}

// Now is the value of this visit, nil for none.
func (l SinceLine) Now() *SinceWhen {
	if len(l.Points) == 0 {
		return nil
	}
	return &l.Points[len(l.Points)-1]
}

// Since is what changed since earlier visits, nil where this one took none in.
func (a *Assessment) Since() *Since { return a.since }

// remember compares the visit with the earlier ones that it took in.
func (a *Assessment) remember() {
	if earlier := a.record.Opened().Earlier; len(earlier) > 0 {
		a.since = Compared(earlier, a.measuredThen(), a.record.Site())
	}
}

// Compared is what changed from earlier visits to now, at the site as it is now. The order
// of the earlier ones does not matter, and none counts twice.
func Compared(earlier []record.Earlier, now record.Earlier, s *site.Site) *Since {
	all := slices.Clone(earlier)
	slices.SortStableFunc(all, func(a, b record.Earlier) int {
		return cmp.Or(a.Begun.Compare(b.Begun), cmp.Compare(a.Journal, b.Journal))
	})
	all = slices.CompactFunc(all, func(a, b record.Earlier) bool {
		return a.Begun.Equal(b.Begun) && a.Journal == b.Journal
	})
	out := &Since{Visits: []VisitThen{}, Lines: []SinceLine{}, Before: max(0, len(all)-mostVisits)}
	all = all[out.Before:]
	out.NextDue, out.NextAssumed = nextDue(s, now.Begun)
	var usable []then
	for _, e := range all {
		why := wholly(e, now)
		out.Visits = append(out.Visits, VisitThen{Kind: e.Visit, Number: e.Number, Journal: e.Journal,
			Certificate: e.Certificate, Company: e.Company, Technician: e.Technician, Begun: e.Begun.UTC(), Why: why})
		if why == "" {
			usable = append(usable, indexed(e))
		}
	}
	for _, i := range itemsOf(now, s) {
		out.Lines = append(out.Lines, i.line(usable, now))
	}
	out.test()
	return out
}

// nextDue is when the next visit is, and whether nobody declared it.
func nextDue(s *site.Site, begun time.Time) (time.Time, bool) {
	if declared := s.Maintenance.Interval; declared.Given() {
		return declared.After(begun.UTC()), false
	}
	return begun.UTC().AddDate(int(sinceInterval), 0, 0), true
}

// wholly is why nothing of an earlier visit is compared, "" where it may be.
func wholly(e, now record.Earlier) Incomparable {
	switch {
	case e.Simulated != now.Simulated:
		return PracticeThen
	case !e.Begun.Before(now.Begun):
		return LaterThen
	}
	return ""
}

// test holds the lines against the rule, all of the visit together.
func (s *Since) test() {
	var p, better []float64
	var of []*SinceLine
	for i := range s.Lines {
		l := &s.Lines[i]
		if l.held != nil {
			one := l.held.OneSided
			if l.Of.worse() == 0 {
				one = min(1, 2*one) // either way
			} else if l.held.Difference*l.Of.worse() < 0 {
				one = 1 - one
			}
			p, of = append(p, one), append(of, l)
			if l.Of.worse() == 0 {
				better = append(better, one)
			} else {
				better = append(better, 1-one)
			}
		}
	}
	s.Compared = len(p)
	shown, _ := checks.Holm(p, sinceLevel) // probabilities
	shownBetter, _ := checks.Holm(better, sinceLevel)
	for i, l := range of {
		l.Change = l.between(shown[i], shownBetter[i])
		l.Limiting = l.Change.Worse() && l.near(l.Then().Value)
	}
	for i := range s.Lines {
		l := &s.Lines[i]
		if l.trend == nil || l.Of.worse() == 0 {
			continue
		}
		s.Trends++
		if float64(l.trend.S)*l.Of.worse() > 0 && l.trend.Claimed(sinceLevel) {
			if l.Change != WorseByStep {
				l.Change = WorseByAll
			}
			l.meets(s.NextDue)
			l.Limiting = l.Limiting || l.Meets != nil || l.near(l.Points[0].Value) && !l.farBySlope()
		}
	}
	s.ByChance = settled(float64(s.Trends) * sinceLevel)
}

// near tells whether a value that got worse from what it was is near its limit, or has none
// to be far from.
func (l *SinceLine) near(was float64) bool {
	if !l.Of.timed() || l.Limit == nil {
		return true
	}
	return l.Limit.SI-l.Now().Value <= sinceRoom*(l.Limit.SI-was)
}

// farBySlope tells whether the trend of a supply voltage meets a declared limit only after many years.
func (l *SinceLine) farBySlope() bool {
	if l.Of.timed() || l.Limit == nil || !l.Limit.Declared() || l.Of.worse() == 0 {
		return false
	}
	room := (l.Limit.SI - l.Now().Value) * l.Of.worse()
	return room > sinceFar*l.trend.Slope*l.Of.worse()
}

// between is the change between the last two values; shown and better tell that it passed Holm's test
// in the direction that is worse, and in the other.
func (l *SinceLine) between(shown, better bool) Change {
	switch {
	case !l.held.Shown:
		return NoChange
	case l.Of.worse() == 0 && shown:
		return GotOther
	case l.Of.worse() == 0:
		return NoChange
	case l.held.Difference*l.Of.worse() < 0 && better:
		return GotBetter
	case l.held.Difference*l.Of.worse() < 0:
		return NoChange
	case shown:
		return WorseByStep
	}
	return NoChange
}

// meets sets when the slope meets the limit, if that is before the next visit.
func (l *SinceLine) meets(due time.Time) {
	if l.Limit == nil {
		return
	}
	from, now := l.Points[0].At, l.Now().At
	at, ok := l.trend.Reaches(l.Limit.SI, years(now, from))
	if !ok || at > years(due, from) {
		return
	}
	when := from.Add(time.Duration(at * yearSeconds * float64(time.Second))).UTC().Truncate(24 * time.Hour)
	l.Meets = &when
}

// years is how long after from a time is.
func years(at, from time.Time) float64 {
	return float64(at.Unix()-from.Unix())/yearSeconds + float64(at.Nanosecond()-from.Nanosecond())/1e9/yearSeconds
}

// line gathers what can be compared of one thing.
func (i item) line(earlier []then, now record.Earlier) SinceLine {
	l := SinceLine{Of: i.of, Unit: i.of.Unit(), Step: i.step, Detector: i.detector, After: settled(i.after),
		Limit: i.limit, Points: []SinceWhen{}}
	if i.why != "" {
		l.Why = i.why
		return l
	}
	for _, e := range earlier {
		switch value, why := e.value(i, now); why {
		case "":
			l.Latest = ""
			l.Points = append(l.Points, SinceWhen{e.Begun.UTC(), settled(value.Value), settled(value.Expanded)})
		case NotThen: // what a visit did not measure is no news
		default:
			l.Latest = why
		}
	}
	if len(l.Points) == 0 {
		l.Why, l.Latest = cmp.Or(l.Latest, NotThen), ""
	}
	l.Points = append(l.Points, SinceWhen{now.Begun.UTC(), settled(i.value.Value), settled(i.value.Expanded)})
	l.compute()
	return l
}

// compute compares the last two values, and looks for a trend in four and more.
func (l *SinceLine) compute() {
	n := len(l.Points)
	if n < 2 {
		return
	}
	then, now := l.Points[n-2], l.Points[n-1]
	c, err := checks.Compare(checks.Uncertain{Value: then.Value, Expanded: then.Expanded},
		checks.Uncertain{Value: now.Value, Expanded: now.Expanded}, 0) // as if independent: the larger uncertainty
	if err == nil {
		l.held = &c
		l.Two = &SinceTwo{settled(c.Difference), settled(c.Expanded), settled(c.En), settled(c.OneSided)}
	}
	var times, values []float64
	for _, p := range l.Points {
		times, values = append(times, years(p.At, l.Points[0].At)), append(values, p.Value)
	}
	t, err := checks.MannKendall(times, values, confidenceOfSlope)
	if err != nil || n < checks.FewestForTrend {
		return
	}
	l.trend = &t
	l.Trend = &SinceTrend{N: t.N, S: t.S, OneSided: settled(t.OneSided()), Exact: !math.IsNaN(t.Exact),
		Slope: settled(t.Slope), Start: settled(t.Intercept),
		Low: ifNumber(t.Low), High: ifNumber(t.High)}
}
