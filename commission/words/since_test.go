package words_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

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
		words.SinceThenNow{Shown: 2, All: 2}, words.SinceStandby{Then: noon, Lower: true, Limit: &limit},
		words.SinceStandby{Then: noon},
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
			Of: []judge.Worsened{{Of: judge.ResponseSince, Then: 0.8, At: then, Now: 1.71, Expanded: 0.29, By: judge.WorseByStep,
				Visits: 2}}},
		"response 1.10 s on 24 May 2026, now 1.90 s: a trend over 6 visits; at +0.163 s a year the limit of 2.00 s is met " +
			"about July 2027, before the next visit. It still holds": judge.GotWorse{Of: []judge.Worsened{{
			Of: judge.ResponseSince, Then: 1.1, At: then, Now: 1.9, By: judge.WorseByAll, Visits: 6, Slope: 0.1625, Meets: &soon, Limit: &two}}},
		"none shown": words.SinceChange{Of: judge.ResponseSince},
		"slower":     words.SinceChange{Of: judge.ResponseSince, Change: judge.WorseByStep},
		"−0.23":      words.SinceValue{Of: judge.StandbySince, Value: -0.23, Signed: true},
		"+0.91 s":    words.SinceValue{Of: judge.ResponseSince, Value: 0.91, Signed: true, With: true},
		"No difference is shown for these (then → now, in s): 1.1 0.62 → 0.61, restored 0.90 → 0.90; 2.1 0.70 → " +
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
	assert.Contains(t, words.English{}.Say(many), "No difference is shown for 200 other times of 100 detectors.")
	three := judge.Since{Compared: 1, Lines: []judge.SinceLine{{Points: make([]judge.SinceWhen, 3)}}}
	assert.Contains(t, words.English{}.Say(words.SinceRule{Of: three}), "Three visits show no trend, and none is claimed.")
	two2 := judge.Since{Compared: 1, Lines: []judge.SinceLine{{Points: make([]judge.SinceWhen, 2)}}}
	assert.NotContains(t, words.English{}.Say(words.SinceRule{Of: two2}), "trend")
}
