package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked by hand: the sums, and what the adapter has left (Kirchhoff's current law; a
// tenth of the capacity for recharging is common practice, no source).
func TestAddUp(t *testing.T) {
	loads := []Load{{"controller", 0.25, 0.25}, {"sounder", 0, 0.5}, {"motion detectors", 0.125, 0.25}}
	b, err := AddUp(loads, 2, 7)
	require.NoError(t, err)
	assert.InDelta(t, 0.375, b.Standby, 1e-12)
	assert.InDelta(t, 1, b.Alarm, 1e-12)
	assert.InDelta(t, 0.7, b.Recharge, 1e-12)
	assert.InDelta(t, 2-0.375-0.7, b.AdapterHeadroom, 1e-12)
	assert.InDelta(t, 1, b.AlarmHeadroom, 1e-12)

	unknown, err := AddUp(loads, 0, 7)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(unknown.AdapterHeadroom) && math.IsNaN(unknown.AlarmHeadroom))
	assert.Equal(t, [2]float64{b.Standby, b.Alarm}, [2]float64{unknown.Standby, unknown.Alarm})

	small, err := AddUp(loads, 0.5, 0)
	require.NoError(t, err, "an adapter of less than one ampere is one")
	assert.InDelta(t, 0.125, small.AdapterHeadroom, 1e-12)
	assert.InDelta(t, -0.5, small.AlarmHeadroom, 1e-12, "too small is told, not refused")
}
