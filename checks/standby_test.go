package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Both factors enlarge both forms of a required capacity; Peukert's law with k = 1 is I·t.
func TestFactorsEnlarge(t *testing.T) {
	value := must[float64](t)
	draws, f := []Draw{{0.25, 24}, {1, 0.5}}, Factors{Ageing: 1.25, Temperature: 1.11}
	assert.InDelta(t, 6.5*1.25*1.11, value(RequiredCapacity(draws, f)), 1e-12)
	assert.InDelta(t, 6.5*1.25*1.11, value(RequiredAtRate(draws, 20, 1, f)), 1e-9)
}

// Without a load a battery lasts for ever.
func TestAutonomyWithoutLoad(t *testing.T) {
	assert.True(t, math.IsInf(must[float64](t)(Battery{7, 20, 1.15}.Autonomy(0)), 1))
	assert.Zero(t, must[float64](t)(RequiredAtRate([]Draw{{0, 24}}, 20, 1.15, Factors{1, 1})))
}

// Below the rated current Peukert's law promises more than there is: 7 Ah at 19 mA last
// 368 h, not 860. No battery gives more than its capacity.
func TestNoAutonomyAboveTheCapacity(t *testing.T) {
	value := must[float64](t)
	assert.InDelta(t, 368.42, value(Battery{7, 20, 1.25}.Autonomy(0.019)), 0.01)
	assert.InDelta(t, 20, value(Battery{7, 20, 1.25}.Autonomy(0.35)), 1e-9)
	assert.InDelta(t, 20.588, value(Battery{7, 20, 1.25}.Autonomy(0.34)), 1e-3)
	assert.InDelta(t, 4, value(RequiredAtRate([]Draw{{0.1, 40}}, 20, 1.25, Factors{1, 1})), 1e-9)
	r := seeded()
	for range 5000 {
		b := Battery{0.1 + r.Float64()*100, 0.5 + r.Float64()*99, 1 + r.Float64()}
		ampere := math.Exp(r.Float64()*12 - 8)
		hours := value(b.Autonomy(ampere))
		assert.LessOrEqual(t, hours*ampere, b.AmpereHour*(1+1e-12), "%v at %v A", b, ampere)
		assert.LessOrEqual(t, value(b.Autonomy(ampere*1.1)), hours)
		required := value(RequiredAtRate([]Draw{{ampere, hours}}, b.RateHour, b.Exponent, Factors{1, 1}))
		assert.InEpsilon(t, b.AmpereHour, required, 1e-9, "%v at %v A", b, ampere)
	}
}

// Peukert's law is held against published tables down to the 1 h rate only.
func TestBelowHourRate(t *testing.T) {
	for _, tc := range []struct {
		b      Battery
		ampere float64
		want   bool
	}{
		{Battery{7, 20, 1}, 0, true}, {Battery{7, 20, 1}, 7, true}, {Battery{7, 20, 1}, 7.01, false},
		{Battery{7, 20, 1.15}, 4.73, true}, {Battery{7, 20, 1.15}, 4.75, false},
		{Battery{7, 0.5, 1.15}, 14, true}, {Battery{7, 0.5, 1.15}, 14.1, false},
	} {
		got, err := tc.b.BelowHourRate(tc.ampere)
		require.NoError(t, err)
		assert.Equal(t, tc.want, got, "%v at %v A", tc.b, tc.ampere)
	}
	_, err := Battery{}.BelowHourRate(1)
	assert.ErrorIs(t, err, ErrQuantity)
}

// Power out over power in (definition): 60 Wh at 85 % carry 3 W for 17 h.
func TestInlineAutonomy(t *testing.T) {
	hours := must[float64](t)
	assert.InDelta(t, 17, hours(InlineAutonomy(60, 0.85, 3)), 1e-9)
	assert.InDelta(t, 1, hours(InlineAutonomy(0.5, 1, 0.5)), 1e-9)
	assert.True(t, math.IsInf(hours(InlineAutonomy(60, 0.85, 0)), 1))
	inf := math.Inf(1)
	for name, r := range map[string]refusal{
		"no energy":          of(InlineAutonomy(0, 0.85, 3)),
		"energy below zero":  of(InlineAutonomy(-1, 0.85, 3)),
		"endless energy":     of(InlineAutonomy(inf, 0.85, 3)),
		"no efficiency":      of(InlineAutonomy(60, 0, 3)),
		"efficiency above 1": of(InlineAutonomy(60, 1.01, 3)),
		"load below zero":    of(InlineAutonomy(60, 0.85, -1)),
		"endless load":       of(InlineAutonomy(60, 0.85, inf)),
	} {
		assert.ErrorIs(t, r.err, ErrQuantity, name)
		assert.True(t, r.nothing, name)
	}
}
