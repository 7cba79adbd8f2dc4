package words_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// What pages say of trials, outputs and standby is only what happened.
func TestPagesSayOnlyWhatHappened(t *testing.T) {
	for want, p := range map[string]words.Phrase{
		"zone 1: not tried":                                              words.ChimeTrial{Zone: 1},
		"zone 1 to be opened, not reported":                              words.ChimeTrial{Zone: 1, Tried: true},
		"zone 1 opened, reported after 0.50 s":                           words.ChimeTrial{Zone: 1, Tried: true, Reported: time.Second / 2},
		"zone 1 to be opened, not reported, heard after 1.0 s (by hand)": words.ChimeTrial{Zone: 1, Tried: true, Works: true, Heard: time.Second},
		"not tried": words.OutputTrial{Kind: site.Strobe, Result: record.LeftOut},
		"not seen":  words.OutputTrial{Kind: site.Strobe, Result: record.Fails},
		"heard":     words.OutputTrial{Kind: site.Sounder, Result: record.Works},
		"energised, heard, off after 2 s": words.OutputTrial{Kind: site.Sounder, Energised: true, On: 2 * time.Second,
			Result: record.Works},
		"energised, not answered for":                    words.OutputTrial{Kind: site.Sounder, Energised: true, Result: record.LeftOut},
		"cut-off neither declared nor observed":          words.CutOffSaid{},
		"cut-off 15 min declared, not observed":          words.CutOffSaid{Declared: "15 min"},
		"cut-off observed after 14 min":                  words.CutOffSaid{Observed: "14 min"},
		"cut-off 15 min declared, observed after 14 min": words.CutOffSaid{Declared: "15 min", Observed: "14 min"},
		"12 h computed, nothing tried":                   words.ComputedTried{Computed: "12 h"},
		"12 h computed, 10 min tried":                    words.ComputedTried{Computed: "12 h", Tried: 10 * time.Minute},
		"Supply voltage, mains just removed":             words.VoltageOff{},
		"Supply voltage, mains removed for 5 min":        words.VoltageOff{After: 5 * time.Minute, AtMost: 5 * time.Minute},
		"Supply voltage, mains removed for 5 min, at most 1 h, not all of it watched, all outputs on": words.VoltageOff{
			After: 5 * time.Minute, AtMost: time.Hour, Loaded: true},
		"7 of 69 steps open; there is no verdict on the whole.": words.StillOpen{Open: 7, All: 69},
		"1–3, 5, 7–8": words.Zones{1, 2, 3, 5, 7, 8},
		"36.8 %":      words.Share(0.36899), // never rounded up
		"Operated 1 time, reported 1; nothing was missed; 0 repeated.": words.OperationsCounted{
			Of: judge.Operations{Operated: 1, Reported: 1}},
		"Operated 9 times, reported 7; 2 missed, mended since and proved; 3 repeated; 1 trial was struck and is not " +
			"counted.": words.OperationsCounted{Of: judge.Operations{Operated: 9, Reported: 7, Mended: 2, Repeated: 3, Struck: 1}},
		"Operated 9 times, reported 7; 2 missed, of which 1 before a repair that was proved; 0 repeated.": words.OperationsCounted{
			Of: judge.Operations{Operated: 9, Reported: 7, Mended: 1}},
		"Operated 19 times, reported 19; nothing was missed; 3 repeated, without mains.": words.OperationsCounted{
			Of: judge.Operations{Operated: 19, Reported: 19, Repeated: 3, OnStandby: 3}},
		"Operated 19 times, reported 19; nothing was missed; 4 repeated, of which 3 without mains.": words.OperationsCounted{
			Of: judge.Operations{Operated: 19, Reported: 19, Repeated: 4, OnStandby: 3}},
		"Operated 9 times, reported 7; 2 missed; 0 repeated.": words.OperationsCounted{
			Of: judge.Operations{Operated: 9, Reported: 7}},
		"findings: 1 danger, 2 to do": words.FindingsFigure{N: 3, Of: words.Graded{Dangers: 1, Faults: 2}},
		"passed in trial 3 of 4; before: silent, mended: “crimped”": words.LastTrial{Verdict: record.Proved, Trial: 3, Trials: 4,
			Earlier: []words.EarlierTrial{{Verdict: record.Silent}}, Mended: []string{"crimped"}},
	} {
		assert.Equal(t, want, words.English{}.Say(p))
	}
}

// Of fewer than 20 values the 95th percentile is the largest; below 59 it has no bound at
// 95 % confidence: 0.95^58 = 0.051, 0.95^59 = 0.049 (Wilks; looked up).
func TestPercentilesOnlyWhereThereAreValuesEnough(t *testing.T) {
	of := func(n int) (string, string) {
		s := judge.Summary{Times: checks.Times{N: n, Mean: 1, P50: 1, P90: 1.5, P95: 1.7, Max: 1.8}, Limit: 2}
		return words.English{}.Say(words.ResponseTimes{Of: s}), words.English{}.Say(words.TimesInFull{Of: s})
	}
	main, annex := of(19)
	assert.NotContains(t, main, "90 %")
	assert.Contains(t, annex, "no 95th percentile")
	main, annex = of(20)
	assert.Contains(t, main, "95 % within 1.70 s")
	assert.Contains(t, annex, "no bound")
	_, annex = of(58)
	assert.Contains(t, annex, "no bound")
	_, annex = of(59)
	assert.Contains(t, annex, "with a confidence of 95 %")
	main, _ = of(1)
	assert.NotContains(t, main, "median")
}

// Customers read what a controller sent without its brackets.
func TestWhatWasNotUnderstoodIsReadable(t *testing.T) {
	for raw, want := range map[string]string{
		`{"state":"ajar","battery":98}`: "battery: 98, state: “ajar”",
		`"Opened"`:                      "“Opened”",
		`ON?`:                           "“ON?”",
		`[1,{"a":null}]`:                "1, a: nothing",
		`{}`:                            "nothing",
	} {
		assert.Contains(t, words.English{}.Say(judge.ReportGarbled{Raw: raw}), "reported "+want+", which")
	}
}
