package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked by Ohm's law; two voltages of the same uncertainty differ by √2 of it (JCGM 100
// 5.1.2, from memory).
func TestInternalResistance(t *testing.T) {
	ohm, uncertainty, err := InternalResistance(12.80, 0.5, 12.30, 2.5, 0.02)
	require.NoError(t, err)
	assert.InDelta(t, 0.25, ohm, 1e-12)
	assert.InDelta(t, math.Sqrt(0.02*0.02+0.02*0.02)/2, uncertainty, 1e-12)
	turned, same, err := InternalResistance(12.30, 2.5, 12.80, 0.5, 0.02)
	require.NoError(t, err)
	assert.InDelta(t, ohm, turned, 1e-12, "the order of the loads says nothing")
	assert.InDelta(t, uncertainty, same, 1e-12)
}
