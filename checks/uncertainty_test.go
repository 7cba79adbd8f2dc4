package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A contribution counts by its sensitivity, and without one fully (JCGM 100:2008 5.1.2 and
// G.4.1, from memory; 3-4-5).
func TestCombinedBySensitivity(t *testing.T) {
	u, freedom, err := Combined(Contribution{Standard: 1.5, Sensitivity: 2, Freedom: 1}, Contribution{Standard: 4})
	require.NoError(t, err)
	assert.InDelta(t, 5, u, 1e-12)
	assert.InDelta(t, 625.0/81, freedom, 1e-12)
	u, freedom, err = Combined(Contribution{Standard: 3}, Contribution{Standard: 2, Sensitivity: -2})
	require.NoError(t, err)
	assert.InDelta(t, 5, u, 1e-12)
	assert.True(t, math.IsInf(freedom, 1), "infinite where none is finite")
	_, freedom, err = Combined(Contribution{Standard: 2, Freedom: 0.5})
	require.NoError(t, err)
	assert.InDelta(t, 0.5, freedom, 1e-12, "one part keeps its own")
}

// Student's t at many degrees of freedom is the normal distribution's: 1.95996 (table, from
// memory), and falls towards it without a step.
func TestCoverageOfManyDegrees(t *testing.T) {
	last := math.Inf(1)
	for _, freedom := range []float64{1e3, 1e4, 1e5, 1e6, 1.5e6, 1e7, math.Inf(1)} {
		k, err := CoverageFactor(0.95, freedom)
		require.NoError(t, err)
		assert.LessOrEqual(t, k, last)
		assert.InDelta(t, 1.959964, k, 3/freedom+1e-6)
		last = k
	}
}
