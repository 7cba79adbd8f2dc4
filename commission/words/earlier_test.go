package words_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

var (
	loose = judge.Finding{ID: "F1", Step: "inspection/fixing", Subject: judge.Subject{Part: judge.PartChecklist},
		What: judge.NotSo{Item: item}, Because: "loose at the hinge"}
	then = judge.Then{Visit: "B-1/2026-05-01-handover", ID: "F1", Begun: noon, Severity: judge.Fault, Defect: true,
		Steps: []string{"inspection/fixing"}, Said: loose.Said()}
	ofOther = record.Earlier{Visit: programme.Maintenance, Number: "M-9/2025-05-01-maintenance", Company: "Marlpit",
		Journal: strings.Repeat("1", 64), Certificate: strings.Repeat("2", 64), Result: "satisfactory", Rules: 4,
		SealedRules: 3, SealedBy: &record.SealedBy{Name: "Marlpit", Fingerprint: strings.Repeat("3", 64)},
		DetectorsLeft: 2, OutstandingLeft: 1, Simulated: true}
)

// earlierExamples are phrases about earlier visits.
func earlierExamples(all declared) (out []words.Phrase) {
	out = []words.Phrase{judge.StillSo{Then: then}, judge.StillUnknown{Then: then},
		judge.NotSampled{Share: 0.25, Reason: "agreed", Of: []judge.LastProved{
			{Visit: "B-1/1", Day: "2026-05-01", Points: []site.Point{"1.1", "1.2", "1.3", "2.1"}},
			{Points: []site.Point{"4.1"}}}},
		judge.EarlierUnread{Visits: []string{"2026-05-01-handover"}}, judge.EarlierUnread{LeftOut: 3}, judge.TriedWell,
		words.EarlierVisit{Of: ofOther, Begun: noon}, words.ThenFound{Of: then},
		words.CameOfIt{Of: judge.OutstandingLine{Then: then, How: judge.AnsweredRight}, By: "Bea"},
		words.CameOfIt{Of: judge.OutstandingLine{Then: then, How: judge.TriedLimits, Now: []string{"L2"}}},
		words.CameOfIt{Of: judge.OutstandingLine{Then: then, How: judge.TriedAgain, Now: []string{"F2"}, Because: "dark"}},
		words.CameOfIt{Of: judge.OutstandingLine{Then: then, How: judge.TestedNow}, Day: noon},
		words.ChangedSince{Visit: "B-1/1"}, words.NothingChanged{Visit: "B-1/1"}, words.MoreChanges{N: 3}}
	for _, what := range all.constants["site.ChangeCode"] {
		out = append(out, site.Change{What: site.ChangeCode(what), Zone: 3, Point: "3.1", Name: "Left", Key: "current",
			Before: "1 A", Now: "2 A"})
	}
	for _, what := range all.constants["judge.Settling"] {
		out = append(out, words.CameOfIt{Of: judge.OutstandingLine{Then: then, How: judge.Settling(what)}})
	}
	return out
}

// What an earlier visit said is said by its codes; what this version has no words for stands
// as it was shown then, as somebody else's words; and what somebody forged is no fault.
func TestWhatAnEarlierVisitSaid(t *testing.T) {
	l := words.English{}
	asked := func(said, shown string) string {
		return l.Say(programme.Name{Kind: programme.StepOutstanding, ID: "outstanding/2026-05-01-handover/F1", Said: said,
			Shown: shown})
	}
	assert.Equal(t, "F1 of 2026-05-01-handover: Checklist: "+l.Say(loose), asked(string(loose.Said()), "whatever"))
	for _, said := range []string{`{"code":"tomorrow","with":{}}`, `{"code":"shown/crossed","subject":{"part":"visit"},` +
		`"with":{"half":"operate","judgement":{"verdict":"crossed"},"trials":1}}`,
		`{"code":"no-battery","subject":{"part":"nowhere"},"with":{}}`, `{`, ``} {
		assert.Equal(t, "F1 of 2026-05-01-handover: “as it was”", asked(said, "as it was"), said)
		assert.Contains(t, asked(said, ""), "no words for", said)
	}
	assert.Equal(t, "still so since 24 November 2026 (F1 of B-1/2026-05-01-handover): Checklist: "+l.Say(loose),
		l.Say(judge.StillSo{Then: then}))
}

func TestDetectorsInARowAreJoined(t *testing.T) {
	for want, of := range map[string][]site.Point{
		"1.1": {"1.1"}, "1.1, 1.2": {"1.1", "1.2"}, "1.1–1.3": {"1.1", "1.2", "1.3"}, "1.1, 2.1, 2.3": {"1.1", "2.1", "2.3"},
		"9.9–9.11, 10.1": {"9.9", "9.10", "9.11", "10.1"}} {
		text := words.English{}.Say(judge.NotSampled{Share: 0.25, Reason: "agreed", Of: []judge.LastProved{{Visit: "B-1/1",
			Day: "2026-05-01", Points: of}}})
		assert.Contains(t, text, ": "+want+" by visit B-1/1 of 2026-05-01")
	}
}

func TestWhoseAnEarlierRecordIs(t *testing.T) {
	text := words.English{}.Say(words.EarlierVisit{Of: ofOther, Begun: noon})
	for _, part := range []string{"by whom is not proved", strings.Repeat("1", 64), strings.Repeat("2", 64),
		strings.Repeat("3", 64), "rules 3", "practice"} {
		assert.Contains(t, text, part)
	}
	trusted := ofOther
	trusted.SealedBy = &record.SealedBy{Name: "Marlpit", Fingerprint: strings.Repeat("3", 64), Trusted: true}
	assert.Contains(t, words.English{}.Say(words.EarlierVisit{Of: trusted, Begun: time.Time{}}), "named as trusted")
}
