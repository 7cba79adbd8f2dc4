package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// 110 % is returned (looked up); the load goes off what the charger gives.
func TestRechargeHours(t *testing.T) {
	hours := must[float64](t)
	assert.InDelta(t, 14.96/1.5, hours(RechargeHours(17, 0.8, 1.5, 0)), 1e-9)
	assert.InDelta(t, 14.96, hours(RechargeHours(17, 0.8, 1.5, 0.5)), 1e-9)
	assert.InDelta(t, 7.7, hours(RechargeHours(7, 1, 1, 0)), 1e-9)
	assert.Zero(t, hours(RechargeHours(7, 0, 1, 0)))
	assert.True(t, math.IsInf(hours(RechargeHours(7, 0.8, 0.3, 0.3)), 1), "nothing is left for the battery")
	assert.True(t, math.IsInf(hours(RechargeHours(7, 0.8, 0, 0.3)), 1))
	assert.True(t, math.IsInf(hours(RechargeHours(7, 0, 1, 1)), 1))
	assert.InDelta(t, 0.055, hours(RechargeHours(0.5, 0.1, 1, 0)), 1e-9)
}

func TestMaximumChargeCurrent(t *testing.T) {
	for _, tc := range []struct {
		c            Chemistry
		holds, fails float64
	}{{LeadAcid, 4.25, 6.8}, {LithiumIon, 3.4, math.Inf(1)}, {LithiumIronPhosphate, 3.4, math.Inf(1)},
		{"none", 0, math.Inf(1)}} {
		holds, fails := MaximumChargeCurrent(tc.c, 17)
		assert.InDelta(t, tc.holds, holds, 1e-9, "%s", tc.c)
		if math.IsInf(tc.fails, 1) {
			assert.True(t, math.IsInf(fails, 1))
			continue
		}
		assert.InDelta(t, tc.fails, fails, 1e-9, "%s", tc.c)
	}
}

// 16.5 V 40 VA: 2.42 A of alternating current.
func TestRectifiedAmpere(t *testing.T) {
	holds, fails, err := RectifiedAmpere(40, 16.5)
	require.NoError(t, err)
	assert.InDelta(t, 1.3333, holds, 1e-4)
	assert.InDelta(t, 1.5030, fails, 1e-4)
	_, _, err = RectifiedAmpere(0.5, 0.5)
	assert.NoError(t, err)
}

func TestNonsenseIsNotRecharged(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	rectified := func(voltAmpere, volt float64) refusal {
		a, b, err := RectifiedAmpere(voltAmpere, volt)
		return refusal{err, a == 0 && b == 0}
	}
	for name, r := range map[string]refusal{
		"no capacity":      of(RechargeHours(0, 0.8, 1, 0)),
		"endless capacity": of(RechargeHours(inf, 0.8, 1, 0)),
		"share below zero": of(RechargeHours(7, -0.1, 1, 0)),
		"share above one":  of(RechargeHours(7, 1.1, 1, 0)),
		"no share":         of(RechargeHours(7, nan, 1, 0)),
		"current below 0":  of(RechargeHours(7, 0.8, -1, 0)),
		"endless current":  of(RechargeHours(7, 0.8, inf, 0)),
		"load below zero":  of(RechargeHours(7, 0.8, 1, -0.1)),
		"endless load":     of(RechargeHours(7, 0.8, 1, inf)),
		"no VA":            rectified(0, 16.5),
		"VA below zero":    rectified(-1, 16.5),
		"endless VA":       rectified(inf, 16.5),
		"no volts":         rectified(40, 0),
		"volts below zero": rectified(40, -16.5),
		"endless volts":    rectified(40, inf),
		"both endless":     rectified(inf, inf),

		"hardly a volt": rectified(40, 5e-324),
		"no number":     rectified(nan, 16.5),
	} {
		assert.ErrorIs(t, r.err, ErrQuantity, name)
		assert.True(t, r.nothing, name)
	}
}
