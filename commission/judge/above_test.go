package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
)

// What adds up to a limit is not above it, though binary fractions are (IEEE 754: 0.1 + 0.2 > 0.3).
func TestAbove(t *testing.T) {
	tenth, fifth := 0.1, 0.2
	assert.False(t, above(tenth+fifth, 0.3))
	assert.False(t, above(0.3, tenth+fifth))
	assert.False(t, above(0.3, 0.3))
	assert.False(t, above(0.3+5e-10, 0.3))
	assert.True(t, above(0.3+3e-9, 0.3))
	assert.False(t, above(0.2, 0.3))
	assert.False(t, above(1e6+1e-4, 1e6))
	assert.True(t, above(1e6+3e-3, 1e6))
	assert.True(t, above(-0.2, -0.3))
}

// Declared currents that add up to what an output gives, or to what was measured, hold.
func TestSumsThatMeetTheirLimit(t *testing.T) {
	c := outputLimit(AlarmOutput, 0.1+tenths(2), checks.Quantity{SI: 0.3, Text: "300 mA"}, nil)
	assert.Equal(t, "pass", string(c.Ruling))
	c = outputLimit(AlarmOutput, 0.3001, checks.Quantity{SI: 0.3, Text: "300 mA"}, nil)
	assert.Equal(t, "fail", string(c.Ruling))
}

func tenths(n float64) float64 { return n / 10 }
