package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A source and its background make the total from which the source is found again; at 3 dB
// it is, in spite of binary fractions.
func TestBackgroundIsTakenOff(t *testing.T) {
	for _, source := range []float64{60.1, 65, 80, 119.7} {
		total, err := AddLevels(source, 60)
		require.NoError(t, err)
		alone, err := WithoutBackground(total, 60)
		require.NoError(t, err)
		assert.InDelta(t, source, alone, 1e-9)
	}
	_, err := WithoutBackground(60.1+3, 60.1) // 3.0000000000000000 less a hair
	assert.NoError(t, err)
}

func TestMarginOverAmbient(t *testing.T) {
	assert.InDelta(t, 35, MarginOverAmbient(90, 55), 1e-12)
}

// Near and far of the reference distance, also below one metre: 6.02 dB a doubling (ISO
// 9613-2, divergence, from memory).
func TestLevelNearTheSource(t *testing.T) {
	level, err := LevelAt(100, 0.5, 0.25)
	require.NoError(t, err)
	assert.InDelta(t, 106.0206, level, 1e-4)
}
