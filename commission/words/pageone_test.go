package words_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

var (
	yearly = judge.NextVisit{Agreed: true, Interval: site.Interval{Text: "1 year", Months: 12}, From: noon,
		Due: noon.AddDate(1, 0, 0)}
	// pageoneExamples are what page one says.
	pageoneExamples = []words.Phrase{
		words.Passed, words.BecauseLate, words.Ruled{Is: words.Failed, Because: words.BecauseLate},
		words.VerdictMeans(words.Passed), words.VerdictsNote{}, words.TestedBy, words.NothingLeft, words.UntestedFigure,
		words.OnTestTimes{From: "10:39", To: "11:07"}, words.OnTestTimes{}, words.KeyBegins{Digits: "01ab"},
		words.DueOn{Of: yearly}, words.DueOn{}, words.DueOn{Of: judge.NextVisit{None: true}}, words.DueInterval{Of: yearly},
		words.DueInterval{Of: judge.NextVisit{Agreed: true, Interval: site.Interval{Text: "1 year", Months: 12}}},
		words.TakenOn{}, words.TakenOn{Of: &record.Undertaken{Action: record.PutRight, By: "2026-12-01", Who: "Bea"}},
		words.MoreOutstanding{Findings: words.Graded{Faults: 2}, Limitations: words.Graded{Faults: 1, Advice: 3}},
		words.MoreOutstanding{Findings: words.Graded{Dangers: 1}, Summary: true}, words.WithoutMains{},
		words.WithoutMains{After: time.Minute}, words.StandbyNeeds{Need: 4.9, Fitted: "7 Ah"},
		words.StandbyNeeds{
			Need:        40,
			Of:          60,
			InWattHours: true,
		}, words.VoltsWithin{Volt: 12.5, Within: 0.02}, words.StandbyFor{Standby: "12 h", Alarm: "15 min"},
		words.AlarmInShort{Instants: 7, Never: 1, More: 2}, words.AlarmInstant{Of: judge.AlarmEvent{Since: time.Second}},
		words.AlarmInstant{Of: judge.AlarmEvent{Never: true}}, words.SummaryOf{Revision: 2, Company: "Bellbird"},
	}
)

// Every trial's verdict, and every answer that is one, has a word of the one vocabulary, in each language; what is said
// of a verdict depends on nothing else.
func TestOneVocabulary(t *testing.T) {
	all := declaredIn(t, folders...)
	for _, l := range languages.All() {
		for _, p := range pageoneExamples {
			assert.NotEmpty(t, l.Say(p), "%s %s", l.Tag(), p.Code())
		}
		for _, v := range all.constants["record.Verdict"] {
			ruled := words.RuledTrial(record.Verdict(v))
			assert.NotEmpty(t, ruled.Is, v)
			assert.NotEmpty(t, l.Say(ruled), v)
		}
		said := map[string]words.Verdict{}
		for _, v := range all.constants["words.Verdict"] {
			text := l.Say(words.Verdict(v))
			assert.Empty(t, said[text], "%s: %q is said of two verdicts", l.Tag(), text)
			said[text] = words.Verdict(v)
		}
		for _, r := range all.constants["words.Reason"] {
			if r != "" {
				assert.NotEmpty(t, l.Say(words.Reason(r)), r)
			}
		}
	}
	for _, r := range []record.Result{record.Done, record.NotApplicable, record.Defect, record.LeftOut, record.Works,
		record.Fails, ""} {
		_, has := words.RuledAnswer(r)
		assert.True(t, has, r)
	}
}

// What has no room on page one is counted by its weight.
func TestWhatHasNoRoomIsCounted(t *testing.T) {
	l := words.English{}
	assert.Equal(t, "And 31 findings (2 to do, 29 advice) and 1 limitation (1 to do) more: see the list on the next page.",
		l.Say(words.MoreOutstanding{Findings: words.Graded{Faults: 2, Advice: 29}, Limitations: words.Graded{Faults: 1}}))
	assert.Equal(t, "26 November 2027", l.Say(words.DueOn{Of: judge.NextVisit{Agreed: true,
		Due: time.Date(2027, 11, 26, 0, 0, 0, 0, time.UTC)}}))
	assert.Equal(t, "not agreed yet", l.Say(words.TakenOn{}))
	assert.Equal(t, "Bea, by 2026-12-01", l.Say(words.TakenOn{Of: &record.Undertaken{By: "2026-12-01", Who: "Bea"}}))
}
