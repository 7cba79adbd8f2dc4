package phone

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// What a question accepts is told in full: a page that draws it can answer it.
func TestTakesAreTold(t *testing.T) {
	s := serve(t)
	for want, takes := range map[string]ask.Takes{
		"line": ask.Line{}, "quantity": ask.Quantity{In: checks.Voltage, Unit: "V"}, "level": ask.SoundLevel{},
		"conductor": ask.Conductor{}, "date": ask.Date{From: "2026-01-01"}, "names": ask.Names{Of: []string{"1.1"}, Several: true},
		"yes-no": ask.YesNo{Danger: true}, "one-of": ask.OneOf{Options: []ask.Option{{Word: "leave", Label: ask.LeaveChoice}}},
		"signature": ask.Signature{}, "items": ask.Items{Of: []ask.Item{{Word: "1", Label: ask.Verbatim("x"), Result: record.Defect}}},
	} {
		said, _ := s.question(ask.Question{ID: "q", What: ask.NoteMatter, Takes: takes})
		assert.Equal(t, want, said.Takes.Kind)
		assert.Equal(t, want == "yes-no", said.Danger)
		switch want {
		case "one-of":
			assert.Equal(t, []Option{{"leave", "not now: leave this stage"}}, said.Takes.Options)
		case "items":
			assert.Equal(t, []Item{{Word: "1", Label: "x", Result: "defect", Says: "defect"}}, said.Takes.Items)
		case "quantity":
			assert.Equal(t, "V", said.Takes.Unit)
			assert.Empty(t, said.Takes.Example)
			assert.Equal(t, checks.Voltage.Examples, s.takes(ask.Quantity{In: checks.Voltage}).Example, "a unit is needed")
		case "date":
			assert.Equal(t, "2026-01-01", said.Takes.From)
		case "names":
			assert.True(t, said.Takes.Several && len(said.Takes.Names) == 1)
		}
	}
	offers := s.takes(ask.Line{Offers: []ask.Option{{Word: "+", Label: ask.UsualActionChoice}}})
	assert.Equal(t, Takes{Kind: "line", Options: []Option{{"+", "put right, and tested again"}}}, offers)
	for word, q := range map[ask.Instead]ask.Takes{ask.NotMeasured: ask.Line{Instead: ask.NotMeasured},
		ask.OpenLoop: ask.Quantity{Instead: ask.OpenLoop}} {
		said := s.takes(q)
		assert.Equal(t, string(word), said.Instead)
		assert.NotEmpty(t, said.Means)
	}
}

// What a wait is to the page, and what a photograph shows that is taken at a step.
func TestKindsAndSubjects(t *testing.T) {
	for want, w := range map[string]ask.Watch{
		watchReady:   {Waits: true, Cue: record.Operate},
		watchOperate: {Cue: record.Operate},
		watchRestore: {Cue: record.Restore},
		watchRoam:    {Keys: []ask.Key{ask.Touch}},
		"":           {Keys: []ask.Key{ask.Ready}},
	} {
		assert.Equal(t, want, kindOf(w))
	}
	for step, want := range map[string]string{
		"": "", "walk/3.2": "detector/3.2", "supply/proof-10.1": "detector/10.1", "supply/standby-1": "supply",
		"outputs/Sounder": "output/Sounder", "outputs/Chime/zone-3": "output/Chime", "outputs/a/b": "output/a/b",
		"inspection/told": "site", "sign-off/customer": "site",
	} {
		assert.Equal(t, want, subject(step), step)
	}
	s := serve(t)
	thing, _ := s.question(ask.Question{What: ask.ThingKind, Shows: ask.ThingAt("z7"), WayBack: "back",
		Takes: ask.OneOf{
			Options: []ask.Option{{Word: "door", Label: ask.Verbatim("door")}, {Word: "back", Label: ask.BackChoice}},
		}})
	assert.Equal(t, "thing/z7", thing.Subject)
	assert.Empty(t, thing.WayBack, "it stands among the options")
	p, is := pointOf("walk/3.2")
	assert.True(t, is)
	assert.Equal(t, "3.2", p)
}

// Proved and not proved sound different, and what harms if it is missed is spoken.
func TestTones(t *testing.T) {
	s := serve(t)
	silent := judge.Shown{Half: record.Operate, Judgement: record.Judgement{Verdict: record.Silent}}
	good := s.notice(ask.Proved{Point: "3.2"})
	bad := s.notice(ask.TrialShown{Point: "3.2", Shown: silent})
	assert.Equal(t, []string{"good", "3.2 proved"}, []string{good.Tone, good.Speaks})
	assert.Equal(t, []string{"bad", "3.2 not proved: silent"}, []string{bad.Tone, bad.Speaks})
	opened := s.notice(ask.AddressReports{Address: "z7", State: signal.Active})
	assert.Equal(t, opened.Text, opened.Speaks)
	plain, caution := s.notice(ask.MayBeOn{}), s.notice(ask.LoudCaution{})
	assert.Empty(t, plain.Tone+plain.Speaks)
	assert.Equal(t, "caution", caution.Weight)
	assert.Equal(t, caution.Text, caution.Speaks)
	assert.Len(t, weights, int(ask.Alarm)+1)
}
