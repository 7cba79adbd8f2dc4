package ask

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLevelAt(t *testing.T) {
	r, err := ParseLevel("96 dB(A) at 10 ft over 55 dB class 2")
	require.NoError(t, err)
	assert.Equal(t, 96.0, r.Level)
	assert.InDelta(t, 3.048, r.Distance, 1e-9)
	assert.Equal(t, 55.0, r.Ambient)
	assert.Equal(t, 2, r.MeterClass)
	r, err = ParseLevel("96 dB at 50 cm class 1")
	require.NoError(t, err)
	assert.Equal(t, Level{Level: 96, Distance: 0.5, MeterClass: 1}, r, "of the surroundings nothing is stated")
	for _, bad := range []string{
		"96 dB", "96 at 3 m", "96 dB at 0 m", "96 dB at -1 m",
		"96 dB at 3", "96 dB at 3 m over 5 m", "96 dB at 3 m over", "96 dB at 3 m class 3",
	} {
		_, err := ParseLevel(bad)
		assert.Error(t, err, bad)
	}
}
