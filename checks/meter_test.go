package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A range of frequencies takes the widest limit that it touches, one between two rows the
// wider of both (IEC 61672-1:2013 table 3, looked up).
func TestMeterToleranceOverARange(t *testing.T) {
	for _, tc := range []struct {
		class    MeterClass
		from, to float64
		want     float64
	}{
		{2, 2000, 4000, 3}, {1, 2000, 4000, 1}, {2, 2000, 3150, 2.5}, {2, 2000.5, 2000.5, 2.5},
		{2, 1250.5, 1250.5, 2}, {2, 3150.5, 3150.5, 3}, {2, 5000.5, 5000.5, 5}, {2, 500.5, 500.5, 1.5}, {2, 4000.5, 4000.5, 3.5},
		{2, 1000.5, 1000.5, 1.5}, {2, 1000, 1000, 1}, {2, 900, 900, 1.5},
		{2, 1001, 1001, 1.5}, {2, 2800, 2800, 2.5}, {2, 3500, 3500, 3}, {1, 4001, 4001, 1.5}, {2, 6000, 6000, 5},
		{1, 500, 8000, 2.5}, {2, 500, 8000, 5}, {2, 500, 500, 1.5}, {2, 8000, 8000, 5}, {1, 5000, 5000, 1.5},
	} {
		got, err := tc.class.Tolerance(tc.from, tc.to)
		require.NoError(t, err)
		assert.Equal(t, tc.want, got, "class %d, %v Hz to %v Hz", tc.class, tc.from, tc.to)
	}
}

// Up to three tenths of the distance both sides are alike: 8.686·0.3 dB; beyond it
// 20 lg 0.69 and 20 lg 1.31 (computed).
func TestLopsidedDistance(t *testing.T) {
	expanded := func(within float64) (down, up float64) {
		down, up, err := SoundBudget{Distance: 1, DistanceUncertainty: within}.Expanded()
		require.NoError(t, err)
		return down, up
	}
	tenth := 0.1
	down, up := expanded(tenth + 2*tenth) // a hair more than 0.3
	assert.InDelta(t, 2*8.685890*0.3/1.7320508, down, 1e-5)
	assert.Equal(t, down, up)
	down, up = expanded(0.31)
	assert.InDelta(t, 2*3.2230/1.7320508, down, 1e-4)
	assert.InDelta(t, 2*2.3454/1.7320508, up, 1e-4)
	down, up = expanded(0)
	assert.Zero(t, down+up)
	digit, _, err := SoundBudget{Resolution: 1, Distance: 1}.Expanded()
	require.NoError(t, err)
	assert.InDelta(t, 0.57735, digit, 1e-5, "2·1/√12")
}

// At 15 dB a background is taken off still, at 6 dB just as it is, in spite of binary
// fractions; nearer than that the level is an upper bound (ISO 3744:2010 8.2.3, looked up).
func TestBackgroundAtItsEdges(t *testing.T) {
	for _, tc := range []struct {
		total, background, want float64
		bound                   bool
	}{
		{75, 60, 0.1396, false}, {75.1, 60.1, 0.1396, false}, {75.001, 60, 0, false}, {66.1, 60.1, 1.2563, false},
		{65.999, 60, 1.3, true}, {60, 60, 1.3, true}, {50, 60, 1.3, true},
	} {
		k, bound, err := BackgroundCorrection(tc.total, tc.background)
		require.NoError(t, err)
		assert.InDelta(t, tc.want, k, 1e-4, "%v over %v", tc.total, tc.background)
		assert.Equal(t, tc.bound, bound, "%v over %v", tc.total, tc.background)
	}
}
