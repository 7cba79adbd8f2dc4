package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// What came of something is told by what was taken again of it, and by nothing else: what was
// left out or could not be judged shows neither that it is so still nor that it is not.
func TestWhatATrialShowsOfWhatWasOutstanding(t *testing.T) {
	const two, rest, present = "walk/2.1", programme.IDStandbyCurrent, programme.IDMainsPresent
	silent := append(attempt(two, "z2", -1, 0), answer(two, record.AsItIs))
	left := func(id string) []any { return []any{answer(id, record.LeftOut, "no time")} }
	sounded := func(ambient float64, also ...any) []any {
		facts := []any{record.Energised{Output: "Sounder", On: true, By: record.SwitchedByController},
			loud(onSounder, 110, 1, ambient, 1)}
		facts = append(facts, also...)
		return append(facts, record.Energised{Output: "Sounder", By: record.SwitchedByController},
			answer(onSounder, record.Works))
	}
	stopped := []any{15 * time.Minute, cutOff(onSounder, "15 min", 900)}
	const current, undeclared = "controller, current: 100 mA", "controller"
	for _, tc := range []struct {
		name      string
		step      string
		code      string // that was outstanding
		then, now []any  // nil for what shows that all is well
		changed   []string
		want      Settling
		see       []string // codes
	}{
		{"silent, and well now", two, "shown/silent", silent, nil, nil, TriedWell, nil},
		{"silent again", two, "shown/silent", silent, silent, nil, TriedAgain, []string{"shown/silent"}},
		{"silent, and left out", two, "shown/silent", silent, left(two), nil, TriedNot, []string{"not-tested"}},
		{"left out again", two, "not-tested", left(two), left(two), nil, TriedNot, []string{"not-tested"}},
		{"left out, and silent now", two, "not-tested", left(two), silent, nil, TriedAgain, []string{"shown/silent"}},
		{"left out, and well now", two, "not-tested", left(two), nil, nil, TestedNow, nil},
		{"not measured again", present, "not-measured", left(present), left(present), nil, TriedNot,
			[]string{"not-measured"}},
		{"not measured, and measured now", present, "not-measured", left(present), nil, nil, TestedNow, nil},
		{"no ambient level, and that now, but no cut-off", onSounder, "not-computed", sounded(0, stopped...),
			sounded(45), nil, TriedWell, nil},
		{"no ambient level again", onSounder, "not-computed", sounded(0, stopped...), sounded(0, stopped...), nil,
			TriedUntold, []string{"not-computed"}},
		{"no ambient level, and too near to it now", onSounder, "not-computed", sounded(0, stopped...),
			sounded(105, stopped...), nil, TriedAgain, []string{"computed/margin"}},
		{"too much, and nothing declared now", rest, "computed/system", []any{ampere(rest, 0.138)},
			[]any{ampere(rest, 0.138)}, []string{current, undeclared}, TriedUntold, []string{"not-computed"}},
		{"too much again", rest, "computed/system", []any{ampere(rest, 0.138)}, []any{ampere(rest, 0.138)}, nil,
			TriedLimits, []string{"computed/system"}},
		{"too much, and left out", rest, "computed/system", []any{ampere(rest, 0.138)}, left(rest), nil, TriedNot,
			[]string{"not-computed"}},
		{"too much, and well now", rest, "computed/system", []any{ampere(rest, 0.138)}, []any{ampere(rest, 0.09)}, nil,
			TriedWell, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			take := func(s *story, facts []any) *Assessment {
				if facts == nil {
					return s.take(nil)
				}
				return s.take(map[string][]any{tc.step: facts})
			}
			then := take(begin(t), tc.then).Remembered(someHash)
			a := take(after(t, openedAfter(t, replaced(t, honestSite, tc.changed...), then)), tc.now)
			line := leftLine(t, a, tc.step, tc.code)
			assert.Equal(t, tc.want, line.How)
			assert.Equal(t, tc.see, codesOf(a, line.Now))
		})
	}
}

func leftLine(t *testing.T, a *Assessment, step, code string) OutstandingLine {
	t.Helper()
	for _, l := range a.Outstanding() {
		if f, known := Recall(l.Then.Said); known && f.Code() == code && l.Then.Steps[0] == step {
			return l
		}
	}
	require.Fail(t, "nothing of the kind was outstanding", "%s of %s", code, step)
	return OutstandingLine{}
}

func codesOf(a *Assessment, ids []string) (codes []string) {
	for _, f := range append(a.Findings(), a.Limitations()...) {
		for _, id := range ids {
			if f.ID == id {
				codes = append(codes, f.Code())
			}
		}
	}
	return codes
}

// Two limitations of one output: that the ambient level was measured meanwhile is not undone by
// another that stands.
func TestAnotherLimitationOfTheStepSaysNothing(t *testing.T) {
	const step = "output/1"
	lacks := func(row string, what LackCode) Finding {
		return Finding{ID: "L7", Step: step, Subject: Subject{Part: PartOutputs},
			What: NotComputed{Row: row, Lacks: lack(what)}}
	}
	margin := Computed{Row: MarginRow{}, Step: step, Ruling: "pass"}
	for _, tc := range []struct {
		name  string
		then  Finding
		now   []Finding
		rows  []Computed
		want  Settling
		names []string
	}{
		{"measured, and another limitation", lacks("margin", LackAmbient), []Finding{lacks("level", LackDeclaredLevel),
			{ID: "L8", Step: step, What: SwitchedOffLate{"busy"}}}, []Computed{margin}, TriedWell, nil},
		{"lacking again", lacks("margin", LackAmbient), []Finding{lacks("margin", LackAmbient)},
			[]Computed{{Row: MarginRow{}, Step: step, Missing: lack(LackAmbient)}}, TriedUntold, []string{"L7"}},
		{"no such computation now", lacks("margin", LackAmbient), nil, nil, TriedUntold, nil},
		{"the same limitation", Finding{Step: step, What: SwitchedOffLate{"no answer"}},
			[]Finding{{ID: "L8", Step: step, What: SwitchedOffLate{"busy"}}}, nil, TriedAgain, []string{"L8"}},
		{"a computation hides nothing else", Finding{Step: step, What: SwitchedOffLate{"no answer"}},
			[]Finding{lacks("margin", LackAmbient)}, nil, TriedWell, nil},
	} {
		a := &Assessment{limitations: tc.now, computed: tc.rows, record: &record.Record{}}
		// no steps of the record: what was taken is tried above
		how, now := a.triedBy(Then{Said: tc.then.Said()}, []string{step}, true)
		assert.Equal(t, tc.want, how, tc.name)
		assert.Equal(t, tc.names, now, tc.name)
	}
}
