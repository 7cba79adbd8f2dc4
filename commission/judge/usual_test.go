package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
)

// Whether a resistance is beyond what is usual is no matter of the meter where it is so whatever it and the first
// really were: 1.3 times the first value is a usual limit (from memory), and 0.37 − 0.06 Ω is above 1.3 · 0.15 Ω.
func TestBeyondWhatIsUsual(t *testing.T) {
	first := firstResistance{Ohm: 0.15}
	assert.True(t, first.beyond(0.37, 0.06))
	assert.False(t, first.beyond(0.22, 0.06), "within its uncertainty")
	assert.False(t, first.beyond(0.15, 0.06))
	first.Uncertainty = 0.1
	assert.False(t, first.beyond(0.37, 0.06), "the first may have been 0.25 Ω")
}

// What is undecided says why, where it is not too near to tell; and what is decided has no such reason.
func TestWhyItIsUndecided(t *testing.T) {
	old := AgeRow{Age: 5 * time.Hour, Life: 4 * time.Hour}
	for want, rows := range map[Doubt][]Computed{
		BeyondUsual: {{Row: InternalRow{Beyond: true}, Ruling: checks.Undecided}, {Row: old, Ruling: checks.Undecided}},
		OnOurs:      {{Row: AdapterRow{}, Ruling: checks.Undecided, Assumed: []string{"supply.loads"}}},
		AnswerLacks: {{Row: SagRow{}, Ruling: checks.Undecided, Missing: lack(LackCapacity)}},
		"": {{Row: InternalRow{}, Ruling: checks.Undecided}, {Row: InternalRow{Beyond: true}, Ruling: checks.Fail},
			{Row: AgeRow{Age: -48 * time.Hour}, Ruling: checks.Undecided},
			{Row: AdapterRow{}, Ruling: checks.Fail, Assumed: []string{"supply.loads"}}},
	} {
		for _, c := range rows {
			assert.Equal(t, want, c.Doubt(), "%#v", c)
		}
	}
}

// A trial on battery lacks an answer only where that would decide it.
func TestWhatWouldDecideATrial(t *testing.T) {
	pack := checks.Pack{Chemistry: checks.LeadAcid, Cells: 6}
	codes := func(lacks []Lack) (out []LackCode) {
		for _, l := range lacks {
			out = append(out, l.What)
		}
		return out
	}
	good := SagRow{To: 12.78, Uncertainty: 0.02, Ampere: 0.3}
	assert.Equal(t, []LackCode{LackCapacity}, codes(lacksForTrial(pack, good, 10, 0, nil)))
	assert.Empty(t, lacksForTrial(pack, good, 10, 7, nil), "nothing lacks")
	good.Ampere = 0
	assert.Equal(t, []LackCode{LackCapacity, LackCurrent}, codes(lacksForTrial(pack, good, 10, 0, nil)))
	assert.Empty(t, lacksForTrial(pack, SagRow{To: 12.2, Uncertainty: 0.02}, 10, 0, nil), "neither good nor bad")
}
