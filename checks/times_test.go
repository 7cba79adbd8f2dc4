package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of 39 readings the percentiles p(N+1) fall on the 20th, the 36th and the 38th (NIST/SEMATECH
// e-Handbook 7.2.6.2, from memory), in whatever order they were taken.
func TestPercentilesOfThirtyNine(t *testing.T) {
	var x []float64
	for i := range 39 {
		x = append(x, float64(i*7%39+1))
	}
	s, err := Summarise(x)
	require.NoError(t, err)
	assert.Equal(t, [5]float64{39, 20, 36, 38, 39}, [5]float64{float64(s.N), s.P50, s.P90, s.P95, s.Max})
	assert.InDelta(t, 20, s.Mean, 1e-12)
}

// Between the first two readings a percentile is interpolated, before the first it is
// the first.
func TestPercentileAtTheEdges(t *testing.T) {
	sorted := []float64{1, 3, 5}
	for p, want := range map[float64]float64{0.1: 1, 0.25: 1, 0.3: 1.4, 0.5: 3, 0.74: 4.92, 0.75: 5, 0.9: 5} {
		assert.InDelta(t, want, percentile(sorted, p), 1e-9, "%v", p)
	}
}

// A refusal names the reading.
func TestSummaryNamesTheReading(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := Summarise([]float64{1, bad, 3})
		require.ErrorIs(t, err, ErrQuantity)
		assert.ErrorContains(t, err, "reading 2 is")
	}
	_, err := Summarise(nil)
	assert.ErrorContains(t, err, "no readings")
}

func TestConstantReadings(t *testing.T) {
	s, err := Summarise([]float64{2, 2, 2})
	require.NoError(t, err)
	assert.Zero(t, s.StandardDeviation)
	assert.True(t, math.IsNaN(s.Lag1), "where all readings are alike")
}
