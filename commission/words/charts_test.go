package words_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

var chartExamples = []words.Phrase{words.ResponseAxis, words.BriefDetector{Point: "3.2", Name: "Window by the sink"},
	words.CumulativeSays{
		N:       14,
		Trials:  17,
		Half:    0.66,
		Slowest: 4.1,
		Name:    "5.1 Motion detector",
		Limits:  []float64{2, 5},
	},
	words.CumulativeSays{N: 1, Trials: 1, Half: 0.66, Slowest: 0.66, Limits: []float64{2}},
	words.CumulativeSays{N: 5, Trials: 5, Half: 0.6, Slowest: 0.9, Silent: 1}, words.CumulativeSays{N: 5, Trials: 5, Half: 0.6, Slowest: 0.9, Silent: 3},
	words.OrderSays{Trials: 17, Other: []site.Point{"2.1"}, Silent: []site.Point{"3.3", "3.3", "4.1"}, Nearest: 82,
		Name: "5.1 Motion detector"},
	words.OrderSays{Trials: 2}, words.SupplySays{},
	words.SupplySays{Off: 11 * time.Minute, Lowest: 12.31, Loaded: true, Uncertainty: 0.02}}

// A chart's sentence says as much as it shows, and no more.
func TestWhatChartsSay(t *testing.T) {
	for want, p := range map[string]words.Phrase{
		"Each step is a detector. Half of 14 were reported within 0.66 s, all within 4.10 s: 5.1 Motion detector. Dashed: " +
			"the limits, each for its kinds of detectors. Strokes below: all 17 trials, the earlier ones too.": chartExamples[2],
		"The one detector that was timed was reported within 0.66 s. Dashed: the limit.": chartExamples[3],
		"Each step is a detector. Half of 5 were reported within 0.60 s, all within 0.90 s. The curve ends below 100 %: 1 " +
			"more detector was not reported active.": chartExamples[4],
		"17 trials in the order of the visit, each in per cent of its own limit. Nearest to its limit and in time: 5.1 " +
			"Motion detector, 82 %. Crosses, not in time or not decided: 2.1. Crosses at the upper edge, not reported active: " +
			"3.3, 4.1. What came of each stands in the schedule.": chartExamples[6],
		"2 trials in the order of the visit, each in per cent of its own limit. None was late.": chartExamples[7],
		"Each mark is a reading, ± 0.02 V at most. Without mains, for 11 min in all, the lowest was 12.31 V, with " +
			"load.": chartExamples[9],
	} {
		assert.Equal(t, want, words.English{}.Say(p))
	}
}
