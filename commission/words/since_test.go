package words_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// ofSince are what is said of earlier visits.
func ofSince() (out []words.Phrase) {
	low, high := 0.1, 0.2
	soon := noon.AddDate(0, 3, 0)
	line := judge.SinceLine{Of: judge.ResponseSince, Limit: &limit, Meets: &soon,
		Trend: &judge.SinceTrend{N: 5, S: 10, OneSided: 1.0 / 120, Exact: true, Slope: 0.15, Low: &low, High: &high}}
	worsened := judge.Worsened{Of: judge.ResponseSince, Then: 0.8, At: noon, Now: 1.71, Expanded: 0.29,
		By: judge.WorseByStep, Visits: 2}
	trend := judge.Worsened{Of: judge.StandbySince, After: 600, Then: 12.61, At: noon, Now: 12.37, By: judge.WorseByAll,
		Visits: 5,
		Slope:  -0.06, Meets: &soon, Limit: &limit}
	supply := words.SinceOf{Of: judge.StandbySince, After: 600}
	return []words.Phrase{judge.ResponseSince, judge.TimedThen, judge.WorseByStep, judge.NoChange,
		judge.GotWorse{Of: []judge.Worsened{worsened, trend}}, words.SinceHeading{Day: noon}, words.VisitSince,
		words.ReactionNote,
		words.SinceRule{Of: judge.Since{Compared: 28, NextDue: noon}},
		words.SinceRule{Of: judge.Since{Compared: 28, Trends: 12, ByChance: 0.6, NextDue: noon, NextAssumed: true}},
		words.SinceMore{Visits: 2}, supply, words.SinceOf{Of: judge.InternalSince},
		words.SinceOf{Of: judge.MainsSince, Step: &programme.Name{Kind: programme.StepReading, ID: programme.IDMainsPresent}},
		words.SinceChange{Of: judge.ResponseSince, Change: judge.WorseByStep}, words.SinceChange{Of: judge.StandbySince},
		words.SinceValue{Of: judge.LoopSince, Value: 9400, With: true}, words.SinceValue{Of: judge.InternalSince, Value: -0.1,
			Signed: true},
		words.SinceAlike{Of: []words.SincePair{{Point: "1.1", Of: judge.ResponseSince, Then: 0.5, Now: 0.6}}},
		words.SinceAlike{Of: make([]words.SincePair, 200)}, words.SinceAlike{Changed: true}, words.SinceFromTo{Of: judge.ResponseSince, Then: 1, Now: 2},
		words.SinceAxis{Of: judge.LoopSince},
		words.SinceNot{Why: judge.PracticeThen}, words.SinceNot{Why: judge.TimedThen, Of: []site.Point{"1.1"}},
		words.SinceNot{Why: judge.BatteryThen, Row: []words.SinceOf{supply}},
		words.SinceLater{Why: judge.TimedThen, Day: noon}, words.SinceThenNow{Shown: 12, All: 40, Worse: 1},
		words.SinceThenNow{Shown: 2, All: 2}, words.SinceStandby{Then: noon, Fell: words.FellShown, Limit: &limit},
		words.SinceStandby{Then: noon}, words.SinceStandby{Then: noon, Fell: words.FellPerhaps},
		words.SinceStandby{Then: noon, Fell: words.FellByTrend},
		words.SinceSlope{Of: words.SinceOf{Of: judge.ResponseSince}, About: &detector, Line: line},
		words.SinceSlope{Of: supply, Line: judge.SinceLine{Of: judge.StandbySince, Trend: &judge.SinceTrend{N: 4,
			Slope: -0.06}}},
		words.SinceSlope{Of: supply, Line: judge.SinceLine{Of: judge.StandbySince}},
	}
}

// What is said of earlier visits claims no more than was found.
func TestWhatIsSaidOfEarlierVisits(t *testing.T) {
	soon := time.Date(2027, 7, 3, 0, 0, 0, 0, time.UTC)
	then := time.Date(2026, 5, 24, 9, 0, 0, 0, time.UTC)
	two := site.Limit{SI: 2, By: site.SiteFile}
	for want, p := range map[string]words.Phrase{
		"response 0.80 s on 24 May 2026, now 1.71 s: more than the uncertainty of both (0.29 s). It still " +
			"holds": judge.GotWorse{
			Holds: true,
			Of: []judge.Worsened{{Of: judge.ResponseSince, Then: 0.8, At: then, Now: 1.71, Expanded: 0.29, By: judge.WorseByStep,
				Visits: 2}}},
		"resistance of the supply on standby 0.15 Ω on 24 May 2026, now 0.37 Ω: a trend over 6 visits": judge.GotWorse{
			Of: []judge.Worsened{{Of: judge.InternalSince, Then: 0.15, At: then, Now: 0.37, By: judge.WorseByAll, Visits: 6}}},
		"supply, mains just removed 13.20 V on 24 May 2026, now 13.10 V: a trend over 6 visits": judge.GotWorse{
			Of: []judge.Worsened{{Of: judge.StandbySince, Then: 13.2, At: then, Now: 13.1, By: judge.WorseByAll, Visits: 6}}},
		"supply without mains, all outputs on 12.68 V on 24 May 2026, now 12.52 V: a trend over 6 visits; and 2 more of " +
			"the supply, all of them where the visits are compared": judge.GotWorse{Of: []judge.Worsened{
			{Of: judge.StandbySince}, {Of: judge.StandbySince, After: 60},
			{Of: judge.LoadedSince, Then: 12.68, At: then, Now: 12.52, By: judge.WorseByAll, Visits: 6}}},
		"may be chance": words.SinceChange{Of: judge.ResponseSince, MayBeChance: true},
		"0.37 Ω ± 0.06 Ω (limit: usually up to 1.3 times its first value of 0.15 Ω); worse than on 24 May 2026 (0.15 Ω), " +
			"by a trend over 6 visits": words.Matter{Of: judge.Finding{What: judge.ComputedSo{Row: judge.InternalRow{
			Ohm: 0.37, Uncertainty: 0.06, First: "0.15 Ω"}, Ruling: checks.Undecided}, Since: []judge.Worsened{
			{Of: judge.InternalSince, Then: 0.15, At: then, Now: 0.37, By: judge.WorseByAll, Visits: 6}}}},
		"response 1.10 s on 24 May 2026, now 1.90 s: a trend over 6 visits; at +0.163 s a year the limit of 2.00 s is met " +
			"about July 2027, before the next visit. It still holds": judge.GotWorse{Holds: true, Of: []judge.Worsened{{
			Of: judge.ResponseSince, Then: 1.1, At: then, Now: 1.9, By: judge.WorseByAll, Visits: 6, Slope: 0.1625, Meets: &soon, Limit: &two}}},
		"none shown": words.SinceChange{Of: judge.ResponseSince},
		"slower":     words.SinceChange{Of: judge.ResponseSince, Change: judge.WorseByStep},
		"−0.23":      words.SinceValue{Of: judge.StandbySince, Value: -0.23, Signed: true},
		"+0.91 s":    words.SinceValue{Of: judge.ResponseSince, Value: 0.91, Signed: true, With: true},
		"No difference is claimed for these (then → now, in s): 1.1 0.62 → 0.61, restored 0.90 → 0.90; 2.1 0.70 → " +
			"0.71.": words.SinceAlike{
			Of: []words.SincePair{{"1.1", judge.ResponseSince, 0.62, 0.61}, {"1.1", judge.RestoredSince, 0.9, 0.9},
				{"2.1", judge.ResponseSince, 0.7, 0.71}}},
	} {
		assert.Equal(t, want, words.English{}.Say(p))
	}
	var many words.SinceAlike
	for i := range 200 {
		many.Of = append(many.Of, words.SincePair{Point: site.Point(fmt.Sprint(i/2+1, ".1")), Of: judge.ResponseSince})
	}
	assert.Contains(t, words.English{}.Say(many), "No difference is claimed for 200 other times of 100 detectors.")
	three := judge.Since{Compared: 1, Lines: []judge.SinceLine{{Points: make([]judge.SinceWhen, 3)}}}
	assert.Contains(t, words.English{}.Say(words.SinceRule{Of: three}), "Three visits show no trend, and none is claimed.")
	two2 := judge.Since{Compared: 1, Lines: []judge.SinceLine{{Points: make([]judge.SinceWhen, 2)}}}
	assert.NotContains(t, words.English{}.Say(words.SinceRule{Of: two2}), "trend")
}

// Whoever subtracts on paper finds the same difference: it is that of the values as printed. What is larger than its
// uncertainty is never called no change.
func TestDifferencesAreThoseOfPrintedValues(t *testing.T) {
	line := func(of judge.Measure, then, now, within float64) judge.SinceLine {
		return judge.SinceLine{Of: of, Points: []judge.SinceWhen{{Value: then}, {Value: now}},
			Two: &judge.SinceTwo{Difference: now - then, Expanded: within}}
	}
	l := line(judge.ResponseSince, 0.614, 0.925, 0.294) // printed 0.61 and 0.93
	difference, within := words.SincePrinted(l)
	assert.InDelta(t, 0.32, difference, 1e-9)
	assert.InDelta(t, 0.29, within, 1e-9)
	assert.True(t, words.SinceChangeOf(l).MayBeChance)
	assert.True(t, words.SinceChangeOf(line(judge.ResponseSince, 0.925, 0.614, 0.294)).MayBeChance, "faster, too")
	assert.False(t, words.SinceChangeOf(line(judge.ResponseSince, 0.61, 0.7, 0.29)).MayBeChance)
	l.Change = judge.WorseByStep
	assert.False(t, words.SinceChangeOf(l).MayBeChance, "it is claimed")
	fell := line(judge.StandbySince, 12.7, 12.5, 0.14)
	assert.Equal(t, words.FellPerhaps, words.FallOf(fell))
	assert.Equal(t, words.FellNot, words.FallOf(line(judge.StandbySince, 12.5, 12.7, 0.14)))
	fell.Change = judge.WorseByAll
	assert.Equal(t, words.FellByTrend, words.FallOf(fell))
	fell.Change = judge.WorseByStep
	assert.Equal(t, words.FellShown, words.FallOf(fell))
}
