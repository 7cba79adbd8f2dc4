package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// A battery is held against what the first earlier visit measured of it, known as well as it was
// then; what was measured of another battery counts for nothing.
func TestTheFirstResistanceIsRemembered(t *testing.T) {
	first := func(ohm, uncertainty float64, fitted string) func(int, *record.Earlier) {
		return func(n int, e *record.Earlier) {
			for i := range e.Readings {
				if r := &e.Readings[i]; r.Quantity == record.InternalThen {
					if r.Value, r.Uncertainty = ohm, uncertainty; n > 0 {
						r.Value, r.Uncertainty = 100*ohm, 100*uncertainty // a later one is not the first
					}
				}
			}
			if fitted != "" {
				e.Battery = fitted
			}
		}
	}
	row := func(change func(int, *record.Earlier)) Computed {
		now, _ := afterVisits(t, 2, change)
		for _, c := range now.computed {
			if _, is := c.Row.(InternalRow); is {
				return c
			}
		}
		t.Fatal("no such row")
		return Computed{}
	}
	same := row(first(0.15, 0.01, ""))
	require.Empty(t, same.Missing)
	measured := same.Row.(InternalRow)
	assert.Equal(t, "0.15 Ω", measured.First)
	assert.NotEmpty(t, measured.FirstAt)
	assert.NotEmpty(t, same.Ruling)
	for name, other := range map[string]func(int, *record.Earlier){
		"another battery":           first(0.15, 0.01, "2020-01-01"),
		"not told from nothing":     first(0.15, 0.2, ""),
		"practice in a real record": func(_ int, e *record.Earlier) { e.Simulated = !e.Simulated },
	} {
		assert.Equal(t, lack(LackFirstResistance), row(other).Missing, name)
	}
}

// 1.3 times the first passes, twice the first fails (checks.JudgeResistance): both for all that
// the first may have been.
func TestHeldAgainstAnUncertainFirst(t *testing.T) {
	for name, tc := range map[string]struct {
		first, of, ohm, uncertainty float64
		want                        checks.Ruling
	}{
		"well known, the same":        {0.1, 0, 0.1, 0.01, checks.Pass},
		"perhaps less then":           {0.1, 0.03, 0.1, 0.01, checks.Undecided},
		"well known, more than twice": {0.1, 0, 0.25, 0.01, checks.Fail},
		"perhaps more then":           {0.1, 0.03, 0.25, 0.01, checks.Undecided},
		"more than twice the most":    {0.1, 0.02, 0.26, 0.01, checks.Fail},
	} {
		got, err := firstResistance{Ohm: tc.first, Uncertainty: tc.of}.rules(tc.ohm, tc.uncertainty)
		require.NoError(t, err, name)
		assert.Equal(t, tc.want, got, name)
	}
	_, err := firstResistance{Ohm: 0.1, Uncertainty: 0.1}.rules(0.1, 0)
	assert.ErrorIs(t, err, checks.ErrQuantity)
}
