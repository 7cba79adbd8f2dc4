package words

import (
	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

var englishMeasures = map[judge.Measure]string{
	judge.ResponseSince: "response", judge.RestoredSince: "restored", judge.LoopSince: "loop",
	judge.MainsSince: "supply, mains present", judge.StandbySince: "supply without mains",
	judge.LoadedSince: "supply without mains, all outputs on", judge.InternalSince: "resistance of the supply on standby",
}

var englishIncomparables = map[judge.Incomparable]string{
	judge.PracticeThen:    "one of the two visits was practice",
	judge.LaterThen:       "it was begun later than this one",
	judge.RenamedThen:     "another detector stood there: its name or its kind was another",
	judge.TimedThen:       "it was timed otherwise then: by another means, or from another kind of cue",
	judge.InstrumentThen:  "it was measured with another instrument then",
	judge.BatteryThen:     "the battery was renewed",
	judge.BatteryUnsaid:   "whether it is the same battery is not known: one of the two does not say when it was fitted",
	judge.MinuteThen:      "it was read at another minute without mains",
	judge.UncertaintyThen: "the uncertainty is not stated",
	judge.NotThen:         "it was not measured then",
	judge.NotNow:          "it was not timed this time",
}

var englishSinceLabels = map[SinceLabel]string{
	VisitSince: "Visit", DaySince: "Begun", TechnicianSince: "Technician", RecordSince: "Record begins with",
	ComparedSince: "Compared", MeasureSince: "Measured", ThenSince: "Then", NowSince: "Now", DifferenceSince: "Difference",
	WithinSince: "±", ChangeSince: "Change", ShareAxis: "response / % of its limit", MinutesAxis: "mains removed / min",
	VoltAxis: "supply / V", VisitAxis: "visit begun / year", LimitMark: "limit", SlopeMark: "slope",
	MeasuredMark: "each visit",
}

var englishSinceNotes = map[SinceNote]string{
	ReactionNote: "Whoever operates a detector is in its times, another person may react otherwise, and no detector " +
		"answers twice alike. The comparison allows a tenth of the limit that is usual for its kind for that, ± 0.2 s at " +
		"least, at each visit; and ± 0.1 V of a battery's voltage for its temperature and charge.",
	NoneComparedNote: "Nothing of the earlier visits can be compared with this one.",
}

// ofSince says what changed since earlier visits.
func (l English) ofSince(p Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Measure:
		return englishMeasures[p], englishMeasures[p] != ""
	case judge.Incomparable:
		return englishIncomparables[p], englishIncomparables[p] != ""
	case judge.Change:
		return changed(judge.MainsSince, p), true
	case judge.GotWorse:
		return l.gotWorse(p), true
	case SinceHeading:
		return "Since the last visit, " + l.Date(p.Day), true
	case SinceLabel:
		return englishSinceLabels[p], englishSinceLabels[p] != ""
	case SinceNote:
		return englishSinceNotes[p], englishSinceNotes[p] != ""
	case SinceRule:
		return l.sinceRule(p.Of), true
	case SinceMore:
		return fmt.Sprintf("%s before them.", counted(p.Visits, "further visit")), true
	case SinceOf:
		return l.sinceOf(p), true
	case SinceChange:
		if p.MayBeChance {
			return "may be chance", true
		}
		return changed(p.Of, p.Change), true
	case SinceValue:
		return l.sinceValue(p), true
	case SinceAlike:
		return l.sinceAlike(p), true
	case SinceNot:
		return l.sinceNot(p), true
	case SinceLater:
		return "compared with " + l.Date(p.Day) + "; later: " + l.Say(p.Why), true
	case SinceThenNow:
		return sinceThenNow(p), true
	case SinceStandby:
		return l.sinceStandby(p), true
	case SinceFromTo:
		return l.Number(p.Then, decimalsOf(p.Of, p.Then)) + " → " + l.valued(p.Of, p.Now), true
	case SinceAxis:
		return englishMeasures[p.Of] + " / " + englishMeasureUnits[p.Of.Unit()], true
	case SinceSlope:
		return l.sinceSlope(p), true
	}
	return "", false
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// changed is a change in a word or two.
func changed(of judge.Measure, c judge.Change) string {
	timed := of == judge.ResponseSince || of == judge.RestoredSince
	words := map[judge.Change][2]string{
		judge.NoChange: {"none shown", "none shown"}, judge.GotBetter: {"faster", "better"},
		judge.GotOther:    {"changed", "changed"},
		judge.WorseByStep: {"slower", "worse"}, judge.WorseByAll: {"slower, trend", "worse, trend"},
	}[c]
	if timed {
		return words[0]
	}
	return words[1]
}

func (l English) sinceOf(p SinceOf) string {
	switch {
	case p.Of == judge.StandbySince:
		return l.Say(VoltageOff{After: spanOf(p.After)})
	case p.Step != nil:
		return l.Say(*p.Step)
	}
	return l.Say(Titled{Of: p.Of})
}

// spanOf is so many seconds.
func spanOf(v float64) time.Duration {
	return time.Duration(v * float64(time.Second)).Round(time.Second)
}

// decimalsOf are those that a value of a measure is shown with.
func decimalsOf(of judge.Measure, v float64) int {
	switch {
	case of == judge.InternalSince:
		return 2
	case of == judge.LoopSince && math.Abs(v) >= 100:
		return 0
	case of == judge.LoopSince:
		return 1
	}
	return 2
}

var englishMeasureUnits = map[string]string{"s": "s", "V": "V", "ohm": "Ω"}

func (l English) sinceValue(p SinceValue) string {
	text := l.Number(p.Value, decimalsOf(p.Of, p.Value))
	if p.Signed && p.Value > 0 {
		text = "+" + text
	}
	if p.With {
		text += " " + englishMeasureUnits[p.Of.Unit()]
	}
	return text
}

func (l English) valued(of judge.Measure, v float64) string {
	return l.sinceValue(SinceValue{Of: of, Value: v, With: true})
}

// sinceRule says by what it was judged.
func (l English) sinceRule(s judge.Since) string {
	text := fmt.Sprintf("Then and now are held against each other with both uncertainties (k = 2), as if these were "+
		"independent. Of %s held together, one got worse, or better, if it did so by more than its uncertainty and passes "+
		"Holm's test at 5 %% in that direction; what is larger than its uncertainty and does not pass may be chance. "+
		"Differences are those of the values as printed. What got worse limits the result; "+
		"a detector that got slower does so only where half of the time "+
		"that it had to its limit is gone, or where a slope meets the limit before the next visit.",
		counted(s.Compared, "comparison"))
	if s.Trends == 0 {
		most := 0
		for _, line := range s.Lines {
			most = max(most, len(line.Points))
		}
		if most == checks.FewestForTrend-1 {
			text += " Three visits show no trend, and none is claimed."
		}
		return text + " “None shown” is not to say that nothing changed."
	}
	return text + fmt.Sprintf(" From four visits on, a trend for the worse is shown by the test of Mann and Kendall, "+
		"one-sided at 5 %% each (exact up to ten visits), with the slope of Theil and Sen at the true dates; one of a "+
		"supply "+
		"voltage limits the result only where it meets a declared limit within ten years. Of %s, %s "+
		"would be shown by chance. The next visit is taken to be due %s%s. “None shown” is not to say that nothing changed.",
		counted(s.Trends, "test"), l.Number(s.ByChance, 1), l.Date(s.NextDue), byDefault(s.NextAssumed))
}

func byDefault(assumed bool) string {
	if assumed {
		return ", a year after this one: nobody declared it"
	}
	return ""
}

// gotWorse says what got worse. All of it is about one detector or the supply.
func (l English) gotWorse(p judge.GotWorse) string {
	var text string
	if named, more := WorstOf(p.Of); more > 0 {
		text = l.worsened(named) + fmt.Sprintf("; and %d more of the supply, all of them where the visits are compared", more)
	} else {
		var parts []string
		for _, w := range p.Of {
			parts = append(parts, l.worsened(w))
		}
		text = strings.Join(parts, "; ")
	}
	if p.Holds {
		text += ". It still holds"
	}
	return text
}

// alsoWorse says shortly how what a finding is about got worse since earlier visits.
func (l English) alsoWorse(all []judge.Worsened) string {
	text := ""
	for _, w := range all {
		text += "; worse than on " + l.Date(w.At)
		if w.Of != judge.InternalSince { // whose first value stands in its limit
			text += " (" + l.valued(w.Of, w.Then) + ")"
		}
		if w.By == judge.WorseByStep {
			text += " by more than both uncertainties"
		} else {
			text += " by a trend over " + counted(w.Visits, "visit")
		}
	}
	return text
}

func (l English) worsened(w judge.Worsened) string {
	about := l.Say(w.Of)
	switch {
	case w.Of == judge.StandbySince && spanOf(w.After) < time.Second:
		about = "supply, mains just removed"
	case w.Of == judge.StandbySince:
		about += " for " + l.Duration(spanOf(w.After))
	}
	text := fmt.Sprintf("%s %s on %s, now %s", about, l.valued(w.Of, w.Then), l.Date(w.At), l.valued(w.Of, w.Now))
	switch w.By {
	case judge.WorseByStep:
		text += fmt.Sprintf(": more than the uncertainty of both (%s)", l.valued(w.Of, w.Expanded))
	default:
		text += fmt.Sprintf(": a trend over %s", counted(w.Visits, "visit"))
	}
	if w.Meets != nil && w.Limit != nil {
		text += fmt.Sprintf("; at %s a year the limit of %s is met about %s, before the next visit", l.slope(w.Of, w.Slope),
			l.valued(w.Of, w.Limit.SI), l.month(*w.Meets))
	}
	return text
}

func (l English) slope(of judge.Measure, v float64) string {
	text := l.Number(math.Round(v*1000)/1000, AsNeeded)
	if v > 0 {
		text = "+" + text
	}
	return text + " " + englishMeasureUnits[of.Unit()]
}

func (English) month(t time.Time) string { return t.Format("January 2006") }

// mostAlike are the pairs that are listed one by one: more would be a page of figures in which nobody finds anything.
const mostAlike = 150

// sinceAlike lists detectors shortly: 1.1 0.62 → 0.61.
func (l English) sinceAlike(p SinceAlike) string {
	if !p.Changed && !p.Chance && len(p.Of) > mostAlike {
		detectors := map[string]bool{}
		for _, pair := range p.Of {
			detectors[string(pair.Point)] = true
		}
		return fmt.Sprintf("No difference is shown for %d other times of %d detectors. What they were then stands on the "+
			"certificates of the earlier visits.", len(p.Of), len(detectors))
	}
	text := ""
	for i, pair := range p.Of {
		name := string(pair.Point)
		if pair.Of == judge.RestoredSince {
			name += " restored"
			if i > 0 && p.Of[i-1].Point == pair.Point {
				name = "restored"
			}
		}
		if i > 0 {
			text += map[bool]string{true: ", ", false: "; "}[name == "restored"]
		}
		text += fmt.Sprintf("%s %s → %s", name, l.Number(pair.Then, 2), l.Number(pair.Now, 2))
	}
	if p.Chance {
		return "Larger than its uncertainty, which may be chance among so many comparisons (then → now, in s): " + text + "."
	}
	if p.Changed {
		return "Further changes (then → now, in s): " + text + "."
	}
	return "No difference is shown for these (then → now, in s): " + text + "."
}

func (l English) sinceNot(p SinceNot) string {
	var about []string
	for _, row := range p.Row {
		about = append(about, l.Say(row))
	}
	if len(p.Of)+len(p.Row) == 0 {
		return "Not compared: " + l.Say(p.Why) + "."
	}
	if len(p.Of) > 0 {
		about = append([]string{points(p.Of)}, about...)
	}
	return "Not compared: " + strings.Join(about, "; ") + ": " + l.Say(p.Why) + "."
}

func sinceThenNow(p SinceThenNow) string {
	text := "Each line is a detector: the ring is its response then, the dot its response now, both in per cent of its " +
		"own limit, which is the dashed line."
	if p.Shown < p.All {
		text += fmt.Sprintf(" Of %d these %d are shown: those that got worse, then those that changed most.", p.All, p.Shown)
	}
	if p.Worse == 0 {
		return text + " None got slower by more than is certain."
	}
	return text + fmt.Sprintf(" %s got slower, marked with a bar under the point.", counted(p.Worse, "detector"))
}

func (l English) sinceStandby(p SinceStandby) string {
	text := "Supply voltage at the same minutes without mains: rings and the dashed line on " + l.Date(p.Then) +
		", dots and the full line now; the upright strokes are the uncertainty."
	if p.Limit != nil {
		text += " The line named limit is " + l.valued(judge.StandbySince, p.Limit.SI) + " (" + l.Say(*p.Limit) + ")."
	}
	switch p.Fell {
	case FellShown:
		return text + " It stands lower than it did."
	case FellByTrend:
		return text + " It falls by a trend over several visits; between these two no fall is claimed."
	case FellPerhaps:
		return text + " A fall that is larger than its uncertainty may be chance, among so many comparisons."
	}
	return text + " No fall is shown that is larger than the uncertainty."
}

func (l English) sinceSlope(p SinceSlope) string {
	about := l.Say(p.Of)
	if p.About != nil {
		about = briefly(*p.About) + ", " + l.Say(p.Of.Of)
	}
	t := p.Line.Trend
	if t == nil {
		return about + ": too few visits for a slope."
	}
	text := fmt.Sprintf("%s: %s a year (Theil–Sen, %s", about, l.slope(p.Of.Of, t.Slope), counted(t.N, "visit"))
	if t.Low != nil && t.High != nil {
		text += fmt.Sprintf("; 95 %%: %s to %s", l.slope(p.Of.Of, *t.Low), l.slope(p.Of.Of, *t.High))
	} else {
		text += "; too few for an interval"
	}
	how := "approximate"
	if t.Exact {
		how = "exact"
	}
	text += fmt.Sprintf("); probability by chance %s, %s.", l.Number(t.OneSided, 4), how)
	if p.Line.Meets != nil && p.Line.Limit != nil {
		text += fmt.Sprintf(" At this slope the limit of %s is met about %s.", l.valued(p.Of.Of, p.Line.Limit.SI),
			l.month(*p.Line.Meets))
	}
	return text
}
