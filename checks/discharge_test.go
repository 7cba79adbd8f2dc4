package checks

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The measured discharge of a good 100 Ah AGM battery at a tenth of its capacity (looked
// up) never looks bad; a 7 Ah battery at 11.70 V after ten minutes at 245 mA does.
func TestOnBattery(t *testing.T) {
	for _, tc := range []struct {
		p                                         Pack
		volt, uncertainty, minutes, ampere, rated float64
		want                                      Ruling
	}{
		{leadAcid6, 12.61, 0.05, 10, 10, 100, Pass},
		{leadAcid6, 12.57, 0.05, 30, 10, 100, Pass},
		{leadAcid6, 12.51, 0, 60, 10, 100, Pass},
		{leadAcid6, 12.69, 0, 1, 10, 100, Undecided},
		{leadAcid6, 12.61, 0, 9.9, 10, 100, Undecided},
		{leadAcid6, 12.61, 0, 10, 10.1, 100, Undecided},
		{leadAcid6, 12.61, 0, 10, 10, 0, Undecided},
		{leadAcid6, 12.10, 0, 240, 10, 100, Undecided},
		{leadAcid6, 12.60, 0, 240, 10, 100, Pass},
		{leadAcid6, 12.50, 0, 10, 0.7, 7, Pass},
		{leadAcid6, 12.60, 0, 10, 0.05, 0.8, Pass},
		{leadAcid6, 12.49, 0, 10, 0.7, 7, Undecided},
		{leadAcid6, 12.55, 0.06, 10, 0.7, 7, Undecided},
		{leadAcid6, 12.00, 0, 10, 0.7, 7, Undecided},
		{leadAcid6, 11.99, 0, 10, 0.7, 7, Fail},
		{leadAcid6, 11.95, 0.06, 10, 0.7, 7, Undecided},
		{leadAcid6, 11.70, 0.05, 10, 0.245, 7, Fail},
		{leadAcid6, 11.70, 0.05, 1, 0.245, 7, Fail},
		{leadAcid6, 11.70, 0.05, 60, 0.245, 7, Fail},
		{leadAcid6, 11.70, 0.05, 60.1, 0.245, 7, Undecided},
		{leadAcid6, 11.70, 0.05, 10, 0.71, 7, Undecided},
		{leadAcid6, 11.70, 0.05, 10, 0.245, 0, Undecided},
		{leadAcid6, 11.70, 0.05, 10, 0, 0, Undecided},
		{Pack{LeadAcid, 12}, 25.1, 0, 10, 0.7, 7, Pass},
		{Pack{LeadAcid, 12}, 23.9, 0, 10, 0.7, 7, Fail},
		{lithium3, 12.08, 0, 10, 0.5, 5, Pass},
		{lithium3, 12.07, 0, 10, 0.5, 5, Undecided},
		{lithium3, 9.0, 0, 10, 0.5, 5, Undecided},
		{lithium3, 8.9, 0, 10, 0.5, 5, Fail},
		{iron4, 13.06, 0, 10, 0.5, 5, Pass},
		{iron4, 13.05, 0, 10, 0.5, 5, Undecided},
		{iron4, 10.0, 0, 10, 0.5, 5, Undecided},
		{iron4, 9.9, 0, 10, 0.5, 5, Fail},
	} {
		got, err := tc.p.JudgeOnBattery(tc.volt, tc.uncertainty, tc.minutes, tc.ampere, tc.rated)
		require.NoError(t, err)
		assert.Equal(t, tc.want, got, "%+v", tc)
	}
}

// A lower voltage, or a greater uncertainty, is never the better sign.
func TestOnBatteryIsMonotone(t *testing.T) {
	rank := map[Ruling]int{Pass: 0, Undecided: 1, Fail: 2}
	r := seeded()
	for range 5000 {
		p := []Pack{leadAcid6, lithium3, iron4}[r.IntN(3)]
		volt, uncertainty := 7+r.Float64()*7, r.Float64()*0.3
		minutes, ampere, rated := r.Float64()*90, r.Float64(), r.Float64()*20
		got, err := p.JudgeOnBattery(volt, uncertainty, minutes, ampere, rated)
		require.NoError(t, err)
		lower, err := p.JudgeOnBattery(volt-r.Float64(), uncertainty, minutes, ampere, rated)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, rank[lower], rank[got])
		vaguer, err := p.JudgeOnBattery(volt, uncertainty+r.Float64(), minutes, ampere, rated)
		require.NoError(t, err)
		assert.True(t, vaguer == got || vaguer == Undecided)
		unknown, err := p.JudgeOnBattery(volt, uncertainty, minutes, ampere, 0)
		require.NoError(t, err)
		assert.Equal(t, Undecided, unknown)
	}
}

// End voltages of the 20 h and of the 1 h rate, data sheets; cut-offs and trips of lithium:
// looked up.
func TestEndOfDischarge(t *testing.T) {
	for _, tc := range []struct {
		p            Pack
		holds, fails float64
	}{{leadAcid6, 10.8, 9.6}, {Pack{LeadAcid, 0}, 10.8, 9.6}, {Pack{LeadAcid, 12}, 21.6, 19.2}, {lithium3, 9, 7.2},
		{iron4, 12, 8}} {
		holds, fails := tc.p.EndOfDischarge()
		assert.InDelta(t, tc.holds, holds, 1e-9)
		assert.InDelta(t, tc.fails, fails, 1e-9)
	}
	holds, fails := Pack{"none", 6}.EndOfDischarge()
	assert.True(t, math.IsNaN(holds) && math.IsNaN(fails))
}

func TestResistanceAgainstItsFirstValue(t *testing.T) {
	for _, tc := range []struct {
		ohm, uncertainty, first float64
		want                    Ruling
	}{
		{0.02, 0, 0.02, Pass}, {0, 0, 0.02, Pass}, {0.026, 0, 0.02, Pass}, {0.0261, 0, 0.02, Undecided},
		{0.025, 0.001, 0.02, Pass}, {0.025, 0.0011, 0.02, Undecided},
		{0.0399, 0, 0.02, Undecided}, {0.04, 0, 0.02, Fail}, {0.041, 0.001, 0.02, Fail},
		{0.041, 0.0011, 0.02, Undecided}, {3, 0.1, 0.75, Fail},
	} {
		got, err := JudgeResistance(tc.ohm, tc.uncertainty, tc.first)
		require.NoError(t, err)
		assert.Equal(t, tc.want, got, "%+v", tc)
	}
}

func TestNonsenseIsNotDischarged(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for i := range 5 {
		for _, bad := range []float64{nan, inf, -0.1} {
			v := []float64{12.5, 0.1, 10, 0.5, 7}
			v[i] = bad
			r := of(leadAcid6.JudgeOnBattery(v[0], v[1], v[2], v[3], v[4]))
			assert.ErrorIs(t, r.err, ErrQuantity, "%v", v)
			assert.True(t, r.nothing)
		}
	}
	for name, r := range map[string]refusal{
		"no pack":               of(Pack{"none", 6}.JudgeOnBattery(12, 0, 10, 0.5, 7)),
		"resistance below zero": of(JudgeResistance(-0.1, 0, 1)),
		"uncertainty below":     of(JudgeResistance(0.1, -0.1, 1)),
		"no first value":        of(JudgeResistance(0.1, 0, 0)),
		"first below zero":      of(JudgeResistance(0.1, 0, -1)),
		"endless":               of(JudgeResistance(inf, 0, 1)),
		"endless uncertainty":   of(JudgeResistance(0.1, inf, 1)),
		"endless first":         of(JudgeResistance(0.1, 0, inf)),
		"no number":             of(JudgeResistance(nan, 0, 1)),
	} {
		assert.ErrorIs(t, r.err, ErrQuantity, name)
		assert.True(t, r.nothing, name)
	}
}

// Ten minutes after its charger was switched off a measured 100 Ah AGM battery stood at
// 13.41 V without a load (looked up): what is higher has a charger.
func TestAsIfCharged(t *testing.T) {
	lead := Pack{LeadAcid, 6}
	assert.False(t, lead.AsIfCharged(13.41, 0))
	assert.True(t, lead.AsIfCharged(13.42, 0))
	assert.False(t, lead.AsIfCharged(13.42, 0.05))
	assert.True(t, Pack{LeadAcid, 3}.AsIfCharged(6.8, 0.05))
	assert.False(t, Pack{LithiumIronPhosphate, 4}.AsIfCharged(14, 0), "it rests as high")
}
