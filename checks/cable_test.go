package checks

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where a resistance is taken from, and that the smallest sizes have one maximum
// whatever the make.
func TestWireRules(t *testing.T) {
	for _, tc := range []struct {
		size string
		make Make
		rule WireRule
	}{
		{"0.5 mm2", Solid, RuleIEC60228}, {"25 mm2", Stranded, RuleIEC60228}, {"25 mm2", Flexible, RuleIEC60228Flexible},
		{"0.22 mm2", Solid, RuleVDE0295}, {"0.22 mm2", Flexible, RuleVDE0295Flexible}, {"0.3 mm2", Solid, RuleArea},
		{"0.3 mm2", Flexible, RuleArea}, {"22 AWG", Solid, RuleGauge}, {"22 AWG", Stranded, RuleGaugeStranded},
		{"22 AWG", Flexible, RuleGaugeStranded},
	} {
		c, err := ParseConductor(tc.size)
		require.NoError(t, err)
		r, err := c.Resistance(tc.make, 20)
		require.NoError(t, err)
		assert.Equal(t, tc.rule, r.Rule, "%s %s", tc.size, tc.make)
		assert.Equal(t, "wire/"+string(tc.rule), r.Rule.Code())
	}
	for _, row := range smallRows {
		assert.Equal(t, row.solid, row.flexible, "%v mm²", row.areaMM2)
	}
}

func TestFarEndAndLongestRun(t *testing.T) {
	value := must[float64](t)
	assert.Zero(t, value(Run{100, 0.1, 1, 12}.FarEnd()), "20 V would be lost of 12")
	assert.InDelta(t, 10, value(Run{10, 0.1, 1, 12}.FarEnd()), 1e-12)
	run := Run{0, 0.1, 0.5, 12}
	assert.InDelta(t, 20, value(run.Longest(10)), 1e-12, "2 V over 0.2 Ω/m at 0.5 A")
	assert.Zero(t, value(run.Longest(12)))
	assert.Zero(t, value(run.Longest(13)), "not below zero")
	assert.True(t, math.IsInf(value(Run{0, 0.1, 0, 12}.Longest(10)), 1), "without a current there is no longest run")
	without := Run{0, 0.1, 0, 12}
	assert.Zero(t, value(without.Longest(12)), "just the supply's voltage is not left anywhere")
}

// The next size is one of its own system, not below the present one, and the present one
// where that will do.
func TestNextSize(t *testing.T) {
	for _, tc := range []struct {
		size    string
		run     Run
		minimum float64
		want    string
	}{
		{"0.22 mm2", Run{LengthMetre: 30, Ampere: 0.5, SupplyVolt: 12}, 11, "0.75 mm2"}, // 0.74 V lost; at 0.5 mm² 1.08 V
		{"22 AWG", Run{LengthMetre: 30, Ampere: 0.5, SupplyVolt: 12}, 11.1, "18 AWG"},   // 0.63 V lost; at 20 AWG 0.999 V
		{"1 mm2", Run{LengthMetre: 30, SupplyVolt: 12}, 12, "1 mm2"},
		{"20 AWG", Run{LengthMetre: 30, SupplyVolt: 12}, 12, "20 AWG"},
	} {
		c, err := ParseConductor(tc.size)
		require.NoError(t, err)
		got, ok, err := NextSize(c, Solid, 20, tc.run, tc.minimum)
		require.NoError(t, err)
		assert.True(t, ok)
		assert.Equal(t, tc.want, got.Text)
	}
}

func TestGaugesAboveOne(t *testing.T) {
	for text, awg := range map[string]int{"1 AWG": 1, "0 AWG": 0, "1/0 AWG": 0, "2/0 AWG": -1, "AWG 3/0": -2,
		"4/0 AWG": -3} {
		c, err := ParseConductor(text)
		require.NoError(t, err, text)
		assert.Equal(t, awg, c.AWG, text)
		assert.True(t, c.Gauge)
	}
}

// A size is looked at up to its 48th character, and shown no further.
func TestLongConductors(t *testing.T) {
	longest := strings.Repeat("0", 48-len("22 AWG")) + "22 AWG"
	c, err := ParseConductor(longest)
	require.NoError(t, err)
	assert.Equal(t, 22, c.AWG)
	_, err = ParseConductor("0" + longest)
	require.ErrorIs(t, err, ErrQuantity)
	assert.ErrorContains(t, err, "0"+longest[:47]+"…")
	_, err = ParseConductor(strings.Repeat("x", 48-len(" AWG")) + " AWG")
	require.ErrorIs(t, err, ErrQuantity)
	assert.NotContains(t, err.Error(), "…")
}

// Two loads at one place are one load of their sum.
func TestTapsAtOnePlace(t *testing.T) {
	drops, err := DropsAlong([]Tap{{20, 0.1}, {10, 0.2}, {20, 0.3}, {30, 0.1}}, 0.05)
	require.NoError(t, err)
	joined, err := DropsAlong([]Tap{{10, 0.2}, {20, 0.4}, {30, 0.1}}, 0.05)
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{joined[1], joined[0], joined[1], joined[2]}, drops, 1e-12)
}
