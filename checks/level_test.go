package checks

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
	assert.Equal(t, "A", r.Weighting)
	assert.Zero(t, r.DistanceUncertainty, "none is stated")
	assert.Equal(t, 2, r.MeterClass)
	r, err = ParseLevel("96 dB at 50 cm class 1")
	require.NoError(t, err)
	assert.Equal(t, Level{Level: 96, Distance: 0.5, MeterClass: 1}, r, "of the surroundings nothing is stated")
	for text, want := range map[string]Level{
		"96 dB(A) at 3 m ± 0.1 m over 52 dB class 2": {Level: 96, Weighting: "A", Distance: 3, DistanceUncertainty: 0.1,
			Ambient: 52, MeterClass: 2},
		"96 dBA at 3 m ±10 cm":    {Level: 96, Weighting: "A", Distance: 3, DistanceUncertainty: 0.1},
		"96 dBC at 3 m +/- 10 cm": {Level: 96, Weighting: "C", Distance: 3, DistanceUncertainty: 0.1},
		"96.5dB(Z) at 3 m +- 0.1 m class 1": {Level: 96.5, Weighting: "Z", Distance: 3,
			DistanceUncertainty: 0.1, MeterClass: 1},
		"96 dB at 3 m over 52 dB(A)":            {Level: 96, Distance: 3, Ambient: 52},
		"96 dB(C) at 3 m over 52 dB(C) class 2": {Level: 96, Weighting: "C", Distance: 3, Ambient: 52, MeterClass: 2},
	} {
		r, err := ParseLevel(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, r, text)
	}
	for _, bad := range []string{
		"96 dB(A) at 3 m over 52 dB(C)", "96 dB(B) at 3 m", "96 dB at 3 m ± 0 m", "96 dB at 3 m ± 1", "96 dB at 3 m ±",
		"96 V(A) at 3 m", "x dB(A) at 3 m",
		"96 dB", "96 at 3 m", "96 dB at 0 m", "96 dB at -1 m",
		"96 dB at 3", "96 dB at 3 m over 5 m", "96 dB at 3 m over", "96 dB at 3 m class 3",
	} {
		_, err := ParseLevel(bad)
		assert.Error(t, err, bad)
	}
}
