package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/record"
)

const struckStep = "walk/1.1"

// A trial that was struck counts neither against a detector nor in the proof.
func TestAStruckTrialDoesNotCount(t *testing.T) {
	s := begin(t)
	s.attempt(struckStep, "z1", -1, 0)
	s.attempt(struckStep, "z1", fast, fast)
	assert.Equal(t, Operations{Operated: 2, Reported: 1, Repeated: 1}, Assess(s.record).Operations())
	s.tell(record.Struck{Step: struckStep, Trial: 1, Reason: "a ladder stood in it"})
	a := Assess(s.record)
	assert.Equal(t, Operations{Operated: 1, Reported: 1, Struck: 1}, a.Operations())
	require.NotEmpty(t, a.Detectors())
	assert.Equal(t, record.Proved, a.Detectors()[0].Verdict)
	assert.Equal(t, 1, a.Detectors()[0].Trials)
}

// What an attempt showed is the half that its verdict rests on, also where it was struck.
func TestShownBy(t *testing.T) {
	s := begin(t)
	s.attempt(struckStep, "z1", -1, 0)
	s.attempt(struckStep, "z1", fast, fast)
	s.tell(record.Reopened{Step: struckStep})
	s.attempt(struckStep, "z1", fast, 8*time.Second)
	s.tell(record.Reopened{Step: struckStep})
	s.attempt(struckStep, "z1", 3*time.Second, 8*time.Second)
	for n := 1; n <= 4; n++ {
		before := ShownBy(s.record.Find(struckStep).Attempts()[n-1])
		s.tell(record.Struck{Step: struckStep, Trial: n, Reason: "x"})
		shown := ShownBy(s.record.Find(struckStep).Attempts()[n-1])
		assert.Equal(t, before, shown)
		want := map[int]Shown{
			1: {Half: record.Operate, Judgement: record.Judgement{Verdict: record.Silent}},
			2: {Half: record.Operate, Judgement: record.Judgement{Verdict: record.Proved, Response: fast}},
			3: {Half: record.Restore, Judgement: record.Judgement{Verdict: record.Late, Response: 8 * time.Second}},
			4: {Half: record.Operate, Judgement: record.Judgement{Verdict: record.Late, Response: 3 * time.Second}},
		}[n]
		assert.Equal(t, want.Half, shown.Half, n)
		assert.Equal(t, want.Judgement.Verdict, shown.Judgement.Verdict, n)
		assert.Equal(t, want.Judgement.Response, shown.Judgement.Response, n)
	}
}

// The current under alarm load is known only if that of each output is.
func TestAlarmCurrent(t *testing.T) {
	const own = "    current: 300 mA\n"
	for name, tc := range map[string]struct {
		current  string // of the sounder
		measured map[string]float64
		want     float64
		all      bool
	}{
		"one is not known":   {"", nil, 0, false},
		"both are known":     {own, nil, 0.5, false},
		"one was measured":   {"", map[string]float64{"Sounder": 0.4}, 0.6, false},
		"both were measured": {"", map[string]float64{"Sounder": 0.4, "Flash": 0.25}, 0.65, true},
		"a chime is no part": {own, map[string]float64{"Chime": 1}, 0.5, false},
	} {
		s := begin(t, own, tc.current, "  - {name: Chime, kind: chime, current: 30 mA, follows: [1]}",
			"  - {name: Flash, kind: strobe, address: f, current: 0.2 A}\n  - {name: Chime, kind: chime}")
		assert.Equal(t, "Sounder, Flash", alarmOutputs(s.record.Site()))
		for output, a := range tc.measured {
			s.tell(record.Reading{Step: "outputs/" + output, Quantity: record.CurrentReading, Value: a})
		}
		got, all := Assess(s.record).alarmCurrent()
		assert.InDelta(t, tc.want, got, 1e-12, name)
		assert.Equal(t, tc.all, all, name)
	}
}
