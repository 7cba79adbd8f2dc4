package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDecide(t *testing.T) {
	for _, tc := range []struct {
		name            string
		value, expanded float64
		in              Interval
		verdict         Ruling
		probability     float64
		source          string
	}{
		{"example 1", -5.47, 0.10, AtMost(-5.40), Undecided, 0.919243, "JCGM 106:2012 7.3.3 example 1, from memory"},
		{"example 2", 509.7, 17.2, AtLeast(490), Pass, 0.989010, "JCGM 106:2012 7.3.3 example 2, from memory"},
		{"both sides", 10, 0.8, Interval{9, 11}, Pass, 1 - 0.01242, "measurement-risk library's tests, looked up"},
		{"late or not", 1.95, 0.20, AtMost(2), Undecided, 0.691462, "normal table, Abramowitz & Stegun 26.1, from memory"},
		{"on the limit", 2, 0.1, AtMost(2), Undecided, 0.5, "symmetry"},
		{"clearly over", 2.61, 0.05, AtMost(2), Fail, 0, "common practice, no source"},
		{"exact value on the limit", 2, 0, AtMost(2), Pass, 1, "JCGM 106:2012 7.1, from memory"},
		{"exact value over", 2.0001, 0, AtMost(2), Fail, 0, "JCGM 106:2012 7.1, from memory"},
		{"at the guard band", 11.6, 0.1, AtLeast(11.5), Pass, 0.977250,
			"JCGM 106 8.3.3 (consumer's risk 0.02275), from memory"},
		{"clearly below", 8, 0.5, Interval{9, 11}, Fail, 0.0000317, "normal table, Φ(−4), from memory"},
		{"just above the lower limit", 9.1, 0.5, Interval{9, 11}, Undecided, 0.655422, "normal table, Φ(0.4), from memory"},
		{"exact value below", 8, 0, Interval{9, 11}, Fail, 0, "JCGM 106:2012 7.1, from memory"},
		{"exact value on the lower limit", 9, 0, Interval{9, 11}, Pass, 1, "JCGM 106:2012 7.1, from memory"},
		{"large, at the guard band", 1_000_000.1, 0.1, AtLeast(1_000_000), Pass, 0.977250, "JCGM 106 8.3.3, from memory"},
		{"large, outside the guard band", 999_999.9, 0.1, AtLeast(1_000_000), Fail, 0.022750, "JCGM 106 8.3.3, from memory"},
	} {
		d, err := Decide(tc.value, tc.expanded, tc.in)
		require.NoError(t, err, tc.name)
		assert.Equal(t, tc.verdict, d.Ruling, "%s (%s)", tc.name, tc.source)
		assert.InDelta(t, tc.probability, d.Probability, 1e-5, "%s (%s)", tc.name, tc.source)
	}
	for _, bad := range []struct{ v, u float64 }{{math.NaN(), 1}, {1, math.NaN()}, {1, -1}, {math.Inf(1), 0}} {
		_, err := Decide(bad.v, bad.u, AtMost(2))
		assert.ErrorIs(t, err, ErrQuantity)
	}
}

func TestProportionLowerBound(t *testing.T) {
	for _, tc := range []struct {
		successes, trials int
		confidence, want  float64
		source            string
	}{
		{4, 20, 0.95, 0.0713539, "NIST/SEMATECH e-Handbook 7.2.4.1 (two-sided 90 %), looked up"},
		{20, 100, 0.975, 0.1266555521019559, "R binom.test in a library's tests, looked up"},
		{10, 10, 0.975, 0.6915029, "R binom.test in a library's tests, looked up"},
		{10, 10, 0.95, 0.7411344, "R binom.test in a library's tests, looked up"},
		{8, 10, 0.975, 0.4439045, "Clopper and Pearson 1934, from memory"},
		{0, 10, 0.95, 0, "definition"},
	} {
		got, err := ProportionLowerBound(tc.successes, tc.trials, tc.confidence)
		require.NoError(t, err)
		assert.InDelta(t, tc.want, got, 1e-7, "%d of %d: %s", tc.successes, tc.trials, tc.source)
	}
	for _, bad := range [][2]int{{1, 0}, {-1, 5}, {6, 5}} {
		_, err := ProportionLowerBound(bad[0], bad[1], 0.95)
		assert.ErrorIs(t, err, ErrQuantity)
	}
	_, err := ProportionLowerBound(1, 2, 1.2)
	assert.ErrorIs(t, err, ErrQuantity)
}
