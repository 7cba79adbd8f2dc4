package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Half-way between two rows of IEEE 485 table 1 lies half-way between their factors; above
// 25 °C nothing is taken off.
func TestColdFactorBetweenRows(t *testing.T) {
	for celsius, want := range map[float64]float64{-3.9: 1.52, -2.5: 1.475, 0.3: 1.39, 7.2: 1.245, 10: 1.19, 12.8: 1.15,
		18.35: 1.075, 23.05: 1.02, 25: 1, 30: 1, 60: 1} {
		_, got, err := Pack{Chemistry: LeadAcid}.ColdFactors(celsius)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9, "%v °C", celsius)
	}
}

// Lead-acid: 86 % at 0 °C and 65 % at −15 °C of makers, IEEE 485 and the published
// polynomial; lithium: minima of makers. All looked up, but for lithium-ion and the three
// coldest rows of IEEE 485 (from memory).
func TestColdFactors(t *testing.T) {
	for _, tc := range []struct {
		c                             Chemistry
		celsius, favourable, cautious float64
	}{
		{LeadAcid, 60, 1, 1}, {LeadAcid, 25, 1, 1}, {LeadAcid, 20, 1.0101, 1.0541}, {LeadAcid, 10, 1.1111, 1.19},
		{LeadAcid, 0, 1.1628, 1.3986}, {LeadAcid, -1.2, 1.1854, 1.43321},
		{LeadAcid, -3.9, 1.2363, 1.52}, {LeadAcid, -3.95, 1.2373, 1.52},
		{LeadAcid, -5, 1.2571, 1.5405}, {LeadAcid, -10, 1.3514, 1.6991}, {LeadAcid, -15, 1.5385, 1.8829},
		{LeadAcid, -20, 1.5385, 2.0940},
		{LithiumIon, 25, 1, 1}, {LithiumIon, 30, 1, 1}, {LithiumIon, 0, 1, 1.1765}, {LithiumIon, -10, 1, 1.5882},
		{LithiumIon, -20, 1, 2},
		{LithiumIronPhosphate, 0, 1, 1.25}, {LithiumIronPhosphate, -20, 1, 1.4286}, {LithiumIronPhosphate, 12.5, 1, 1.125},
	} {
		favourable, cautious, err := Pack{Chemistry: tc.c}.ColdFactors(tc.celsius)
		require.NoError(t, err)
		assert.InDelta(t, tc.favourable, favourable, 1e-4, "%s at %v °C", tc.c, tc.celsius)
		assert.InDelta(t, tc.cautious, cautious, 1e-4, "%s at %v °C", tc.c, tc.celsius)
	}
}

// The colder, the larger; and the cautious factor is the larger of the two.
func TestColdFactorsGrow(t *testing.T) {
	for _, c := range []Chemistry{LeadAcid, LithiumIon, LithiumIronPhosphate} {
		lastFavourable, lastCautious := 1.0, 1.0
		for celsius := 60.0; celsius >= -20; celsius -= 0.1 {
			favourable, cautious, err := Pack{Chemistry: c}.ColdFactors(celsius)
			require.NoError(t, err)
			assert.LessOrEqual(t, favourable, cautious, "%s at %v °C", c, celsius)
			assert.GreaterOrEqual(t, favourable, lastFavourable)
			assert.GreaterOrEqual(t, cautious, lastCautious, "%s at %v °C", c, celsius)
			lastFavourable, lastCautious = favourable, cautious
		}
	}
}

func TestNoFactorBeyondWhatIsPublished(t *testing.T) {
	for name, r := range map[string]refusal{
		"too cold":  both(Pack{Chemistry: LeadAcid}.ColdFactors(-20.1)),
		"too hot":   both(Pack{Chemistry: LeadAcid}.ColdFactors(60.1)),
		"no number": both(Pack{Chemistry: LeadAcid}.ColdFactors(math.NaN())),
		"no pack":   both(Pack{Chemistry: "none"}.ColdFactors(20)),
		"25 cells":  both(Pack{LeadAcid, 25}.ColdFactors(20)),
	} {
		assert.ErrorIs(t, r.err, ErrQuantity, name)
		assert.True(t, r.nothing, name)
	}
	_, _, err := Pack{Chemistry: LeadAcid}.ColdFactors(-20.1)
	assert.ErrorContains(t, err, "known from -20 to 60 °C")
}
