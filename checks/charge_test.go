package checks

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var (
	leadAcid6 = Pack{LeadAcid, 6}
	lithium3  = Pack{LithiumIon, 3}
	lithium4  = Pack{LithiumIon, 4}
	iron4     = Pack{LithiumIronPhosphate, 4}
)

func charger(t *testing.T, p Pack, volt, celsius float64) Charging {
	t.Helper()
	c, err := p.JudgeCharger(volt, celsius)
	require.NoError(t, err)
	return c
}

// Charger voltage × chemistry × cells × temperature. The verdicts of the lead-acid
// charger on lithium follow from published limits a cell (looked up; see
// testdata/reference/thresholds.csv), those by temperature from published compensation.
func TestChargerFitsBattery(t *testing.T) {
	unknown := math.NaN()
	for _, tc := range []struct {
		p             Pack
		volt, celsius float64
		want          ChargeVerdict
		why           ChargeReason
	}{
		{leadAcid6, 12.00, unknown, ChargeFault, BelowEveryFloat},
		{leadAcid6, 12.45, 20, ChargeFault, BelowEveryFloat},
		{leadAcid6, 12.89, 20, ChargeFault, BelowEveryFloat},
		{leadAcid6, 12.90, 20, ChargeUndecided, NotFull},
		{leadAcid6, 13.05, 20, ChargeUndecided, NotFull},
		{leadAcid6, 13.49, 20, ChargeUndecided, NotFull},
		{leadAcid6, 13.50, 20, ChargeHolds, ""},
		{leadAcid6, 13.65, unknown, ChargeHolds, ""},
		{leadAcid6, 13.80, 25, ChargeHolds, ""},
		{leadAcid6, 13.81, 25, ChargeUndecided, Boost},
		{leadAcid6, 14.40, 20, ChargeUndecided, Boost},
		{leadAcid6, 15.00, 20, ChargeUndecided, Boost},
		{leadAcid6, 15.01, 20, ChargeDanger, AboveEveryCharge},
		{leadAcid6, 15.01, unknown, ChargeDanger, AboveEveryCharge},
		// Cold: a fixed 13.8 V is low below 10 °C, but no fault; nor is 13.4 V at any cold.
		{leadAcid6, 13.80, 10, ChargeHolds, ""},
		{leadAcid6, 13.80, 0, ChargeUndecided, NotFull},
		{leadAcid6, 13.65, -10, ChargeUndecided, NotFull},
		{leadAcid6, 13.40, -20, ChargeUndecided, NotFull},
		{leadAcid6, 13.39, -20, ChargeFault, BelowEveryFloat},
		{leadAcid6, 13.26, 0, ChargeUndecided, NotFull},
		{leadAcid6, 13.25, 0, ChargeFault, BelowEveryFloat},
		{leadAcid6, 14.13, 0, ChargeHolds, ""},
		{leadAcid6, 14.17, 0, ChargeUndecided, Boost},
		{leadAcid6, 15.60, 0, ChargeUndecided, Boost},
		{leadAcid6, 15.61, 0, ChargeDanger, AboveEveryCharge},
		{leadAcid6, 14.60, -20, ChargeUndecided, Boost}, // nothing holds by all sources
		{leadAcid6, 13.65, -40, ChargeUndecided, NotFull},
		{leadAcid6, 14.00, -41, ChargeUndecided, NotFull},
		// Warm: a fixed 13.8 V is a boost, 13.3 V just right.
		{leadAcid6, 13.80, 40, ChargeUndecided, Boost},
		{leadAcid6, 13.65, 40, ChargeUndecided, Boost},
		{leadAcid6, 13.30, 40, ChargeHolds, ""},
		{leadAcid6, 12.60, 40, ChargeUndecided, NotFull},
		{leadAcid6, 12.59, 40, ChargeFault, BelowEveryFloat},
		{leadAcid6, 12.90, 30, ChargeUndecided, NotFull},
		{leadAcid6, 12.89, 30, ChargeFault, BelowEveryFloat},
		{leadAcid6, 14.73, 40, ChargeUndecided, Boost},
		{leadAcid6, 14.74, 40, ChargeDanger, AboveEveryCharge},
		{leadAcid6, 13.10, 48, ChargeHolds, ""},
		{leadAcid6, 13.05, 61, ChargeUndecided, Boost},
		{leadAcid6, 15.00, 61, ChargeDanger, AboveEveryCharge},
		// Other numbers of cells.
		{Pack{LeadAcid, 3}, 6.83, 20, ChargeHolds, ""},
		{Pack{LeadAcid, 12}, 27.3, 20, ChargeHolds, ""},
		{Pack{LeadAcid, 12}, 13.65, 20, ChargeFault, BelowEveryFloat},
		{Pack{LeadAcid, 3}, 13.65, 20, ChargeDanger, AboveEveryCharge},
		{Pack{LeadAcid, 0}, 13.65, 20, ChargeHolds, ""},

		{lithium3, 10.76, 20, ChargeFault, NeverCharged},
		{lithium3, 11.51, 20, ChargeFault, NeverCharged},
		{lithium3, 12.00, 20, ChargeUndecided, NotFull},
		{lithium3, 12.30, 20, ChargeHolds, ""},
		{lithium3, 12.60, 20, ChargeHolds, ""},
		{lithium3, 12.60, unknown, ChargeHolds, ""},
		{lithium3, 12.61, 20, ChargeUndecided, AboveUsualCharge},
		{lithium3, 13.05, 20, ChargeUndecided, AboveUsualCharge},
		{lithium3, 13.06, 20, ChargeDanger, AboveEveryCharge},
		{lithium3, 13.50, 20, ChargeDanger, AboveEveryCharge},
		{lithium3, 13.65, 20, ChargeDanger, AboveEveryCharge},
		{lithium3, 13.80, unknown, ChargeDanger, AboveEveryCharge},
		{lithium3, 14.40, 20, ChargeDanger, AboveEveryCharge},
		{lithium4, 13.05, 20, ChargeFault, NeverCharged},
		{lithium4, 13.50, 20, ChargeFault, NeverCharged},
		{lithium4, 13.80, 20, ChargeFault, NeverCharged},
		{lithium4, 15.00, 20, ChargeFault, NeverCharged},
		{lithium4, 16.80, 20, ChargeHolds, ""},
		{lithium3, 12.50, 0, ChargeHolds, ""},
		{lithium3, 12.50, -0.1, ChargeDanger, TooCold},
		{lithium3, 11.00, -5, ChargeDanger, TooCold},
		{lithium3, 12.50, 45, ChargeHolds, ""},
		{lithium3, 12.50, 45.1, ChargeUndecided, TooHot},
		{lithium3, 12.50, 60, ChargeUndecided, TooHot},
		{lithium3, 12.50, 60.1, ChargeFault, TooHot},
		{lithium3, 13.80, 61, ChargeDanger, AboveEveryCharge},

		{iron4, 12.79, 20, ChargeFault, NeverCharged},
		{iron4, 12.80, 20, ChargeUndecided, NotFull},
		{iron4, 13.05, 20, ChargeUndecided, NotFull},
		{iron4, 13.40, 20, ChargeHolds, FloatDisputed},
		{iron4, 13.50, 20, ChargeHolds, FloatDisputed},
		{iron4, 13.80, unknown, ChargeHolds, FloatDisputed},
		{iron4, 14.40, 20, ChargeHolds, FloatDisputed},
		{iron4, 14.60, 20, ChargeHolds, FloatDisputed},
		{iron4, 14.61, 20, ChargeUndecided, AboveUsualCharge},
		{iron4, 15.00, 20, ChargeUndecided, AboveUsualCharge},
		{iron4, 15.60, 20, ChargeUndecided, AboveUsualCharge},
		{iron4, 15.61, 20, ChargeDanger, AboveEveryCharge},
		{iron4, 13.80, -1, ChargeDanger, TooCold},
		{iron4, 13.80, 50, ChargeUndecided, TooHot},
		{iron4, 13.80, 65, ChargeFault, TooHot},
		{Pack{LithiumIronPhosphate, 3}, 13.80, 20, ChargeDanger, AboveEveryCharge},
	} {
		name := fmt.Sprintf("%v at %v V, %v °C", tc.p, tc.volt, tc.celsius)
		c := charger(t, tc.p, tc.volt, tc.celsius)
		assert.Equal(t, tc.want, c.Verdict, name)
		assert.Equal(t, tc.why, c.Reason, name)
		if c.Verdict == ChargeHolds {
			assert.InDelta(t, tc.volt, (c.Holds.Lower+c.Holds.Upper)/2, (c.Holds.Upper-c.Holds.Lower)/2+1e-9, name)
		}
	}
}

// A battery that was discharged may rightly stand low for hours; an empty lithium-ion one
// only for minutes.
func TestLowVoltageOfABatteryThatWasDischarged(t *testing.T) {
	for _, tc := range []struct {
		p       Pack
		volt    float64
		charged bool
		want    ChargeVerdict
	}{
		{leadAcid6, 12.45, true, ChargeFault}, {leadAcid6, 12.45, false, ChargeUndecided},
		{leadAcid6, 0, true, ChargeFault}, {leadAcid6, 0, false, ChargeUndecided},
		{leadAcid6, 13.65, false, ChargeHolds}, {leadAcid6, 15.1, false, ChargeDanger},
		{lithium3, 11.4, true, ChargeFault}, {lithium3, 11.4, false, ChargeUndecided},
		{lithium3, 10.77, false, ChargeUndecided}, {lithium3, 10.76, false, ChargeFault},
		{lithium4, 13.8, false, ChargeFault}, {lithium3, 13.5, false, ChargeDanger},
		{iron4, 12.7, true, ChargeFault}, {iron4, 12.7, false, ChargeUndecided}, {iron4, 8, false, ChargeUndecided},
	} {
		c, err := tc.p.JudgeCharge(tc.volt, 0, 20, tc.charged)
		require.NoError(t, err)
		assert.Equal(t, tc.want, c.Verdict, "%v at %v V, %v", tc.p, tc.volt, tc.charged)
	}
}

// Within its uncertainty of a limit a reading decides nothing.
func TestUncertainCharge(t *testing.T) {
	for _, tc := range []struct {
		p                 Pack
		volt, uncertainty float64
		want              ChargeVerdict
		why               ChargeReason
	}{
		{leadAcid6, 13.60, 0.1, ChargeHolds, ""},
		{leadAcid6, 13.60, 0.11, ChargeUndecided, WithinUncertainty},
		{leadAcid6, 12.80, 0.1, ChargeFault, BelowEveryFloat},
		{leadAcid6, 12.80, 0.11, ChargeUndecided, WithinUncertainty},
		{leadAcid6, 15.10, 0.1, ChargeDanger, AboveEveryCharge},
		{leadAcid6, 15.10, 0.11, ChargeUndecided, WithinUncertainty},
		{leadAcid6, 14.40, 0.1, ChargeUndecided, Boost},
		{leadAcid6, 13.20, 0.1, ChargeUndecided, NotFull},
		{lithium3, 13.50, 0.3, ChargeDanger, AboveEveryCharge},
	} {
		c, err := tc.p.JudgeCharge(tc.volt, tc.uncertainty, 20, true)
		require.NoError(t, err)
		assert.Equal(t, tc.want, c.Verdict, "%v ± %v V", tc.volt, tc.uncertainty)
		assert.Equal(t, tc.why, c.Reason, "%v ± %v V", tc.volt, tc.uncertainty)
	}
}

// What is shown beside a verdict.
func TestChargeWindows(t *testing.T) {
	for _, tc := range []struct {
		p       Pack
		celsius float64
		holds   Interval
		widest  Interval
	}{
		{leadAcid6, math.NaN(), Interval{13.5, 13.8}, Interval{12.9, 15}},
		{leadAcid6, 25, Interval{13.5, 13.8}, Interval{12.9, 15}},
		{leadAcid6, 0, Interval{14.1, 14.16}, Interval{13.26, 15.6}},
		{leadAcid6, 40, Interval{13.23, 13.35}, Interval{12.6, 14.73}},
		{lithium3, 20, Interval{12.3, 12.6}, Interval{11.514, 13.05}},
		{iron4, 20, Interval{13.4, 14.6}, Interval{12.8, 15.6}},
	} {
		c := charger(t, tc.p, 13, tc.celsius)
		assert.InDelta(t, tc.holds.Lower, c.Holds.Lower, 1e-9, "%v %v", tc.p, tc.celsius)
		assert.InDelta(t, tc.holds.Upper, c.Holds.Upper, 1e-9, "%v %v", tc.p, tc.celsius)
		assert.InDelta(t, tc.widest.Lower, c.Widest.Lower, 1e-9, "%v %v", tc.p, tc.celsius)
		assert.InDelta(t, tc.widest.Upper, c.Widest.Upper, 1e-9, "%v %v", tc.p, tc.celsius)
		n, _ := tc.p.InSeries()
		assert.InDelta(t, 13/float64(n), c.PerCell, 1e-12)
	}
	for _, none := range []Charging{charger(t, leadAcid6, 13, -10), charger(t, lithium3, 12.5, -1),
		charger(t, lithium3, 12.5, 50), charger(t, leadAcid6, 13, 70)} {
		assert.True(t, math.IsNaN(none.Holds.Lower) && math.IsNaN(none.Holds.Upper))
	}
}

func TestNonsenseIsNotCharged(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, r := range map[string]refusal{
		"below zero":             of(leadAcid6.JudgeCharge(-0.1, 0, 20, true)),
		"no number":              of(leadAcid6.JudgeCharge(nan, 0, 20, true)),
		"endless":                of(leadAcid6.JudgeCharge(inf, 0, 20, true)),
		"uncertainty below zero": of(leadAcid6.JudgeCharge(13, -0.1, 20, true)),
		"no uncertainty":         of(leadAcid6.JudgeCharge(13, nan, 20, true)),
		"endless uncertainty":    of(leadAcid6.JudgeCharge(13, inf, 20, true)),
		"too cold":               of(leadAcid6.JudgeCharge(13, 0, -60.5, true)),
		"too hot":                of(leadAcid6.JudgeCharge(13, 0, 100.5, true)),
		"unknown chemistry":      of(Pack{"none", 6}.JudgeCharge(13, 0, 20, true)),
		"25 cells":               of(Pack{LeadAcid, 25}.JudgeCharge(13, 0, 20, true)),
		"charger, no number":     of(leadAcid6.JudgeCharger(nan, 20)),
	} {
		assert.ErrorIs(t, r.err, ErrQuantity, name)
		assert.True(t, r.nothing, name)
	}
	for _, celsius := range []float64{-60, 100} {
		_, err := leadAcid6.JudgeCharge(0, 0, celsius, false)
		assert.NoError(t, err)
	}
}

// Away from what holds, a voltage never gets better; a greater uncertainty never makes
// anything hold, nor anything of what it leaves undecided.
func TestChargeVerdictsAreMonotone(t *testing.T) {
	r := seeded()
	for range 20000 {
		p := []Pack{leadAcid6, lithium3, lithium4, iron4, {LeadAcid, 1 + r.IntN(24)}}[r.IntN(5)]
		n, _ := p.InSeries()
		volt, uncertainty := r.Float64()*6*float64(n), r.Float64()*0.4
		celsius, charged := -45+r.Float64()*120, r.IntN(2) == 0
		c, err := p.JudgeCharge(volt, uncertainty, celsius, charged)
		require.NoError(t, err)
		further, more := r.Float64(), uncertainty+r.Float64()
		middle := (p.chargeLimits(celsius).holds.Lower + p.chargeLimits(celsius).holds.Upper) / 2
		beyond := volt + further
		if volt < middle {
			beyond = math.Max(0, volt-further)
		}
		away, err := p.JudgeCharge(beyond, uncertainty, celsius, charged)
		require.NoError(t, err)
		assert.False(t, c.Verdict.worse(away.Verdict), "%v ± %v V to %v V, %v °C: %v to %v", volt, uncertainty, beyond,
			celsius, c, away)
		vaguer, err := p.JudgeCharge(volt, more, celsius, charged)
		require.NoError(t, err)
		if c.Verdict != ChargeHolds {
			assert.NotEqual(t, ChargeHolds, vaguer.Verdict)
		}
		if c.Verdict == ChargeUndecided {
			assert.Equal(t, ChargeUndecided, vaguer.Verdict)
		}
	}
}

// A battery that is given as charged never gets a better verdict for it.
func TestChargedIsNoExcuse(t *testing.T) {
	for _, p := range []Pack{leadAcid6, lithium3, lithium4, iron4} {
		for volt := 0.0; volt < 18; volt += 0.05 {
			charged, err := p.JudgeCharge(volt, 0.05, 20, true)
			require.NoError(t, err)
			unknown, err := p.JudgeCharge(volt, 0.05, 20, false)
			require.NoError(t, err)
			assert.False(t, unknown.Verdict.worse(charged.Verdict), "%v V", volt)
		}
	}
}
