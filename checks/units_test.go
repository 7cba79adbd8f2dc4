package checks

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every unit that is taken. The prefixes are SI's (SI brochure, from memory), foot and inch
// the international ones (exact, from memory), the degrees Fahrenheit by the boiling and
// freezing points of water (from memory); dBA as a plain level is common practice, no source.
var unitValues = []struct {
	in   Dimension
	text string
	want float64
}{
	{Length, "2.5 m", 2.5}, {Length, "2.5 cm", 0.025}, {Length, "2.5 mm", 0.0025}, {Length, "2.5 km", 2500},
	{Length, "10 ft", 3.048}, {Length, "10 in", 0.254},
	{Current, "2.5 A", 2.5}, {Current, "2.5 mA", 0.0025}, {Current, "2.5 uA", 2.5e-6}, {Current, "2.5 µA", 2.5e-6},
	{Current, "2.5 μA", 2.5e-6},
	{Voltage, "2.5 V", 2.5}, {Voltage, "2.5 mV", 0.0025}, {Voltage, "2.5 kV", 2500},
	{Capacity, "2.5 Ah", 2.5}, {Capacity, "2.5 mAh", 0.0025},
	{Time, "2.5 s", 2.5}, {Time, "2.5 ms", 0.0025}, {Time, "2.5 min", 150}, {Time, "2.5 m", 150}, {Time, "2.5 h", 9000},
	{Time, "2.5 d", 216000},
	{Temperature, "37.5 C", 37.5}, {Temperature, "37.5 °C", 37.5}, {Temperature, "32 F", 0},
	{Temperature, "212 °F", 100}, {Temperature, "-40 °F", -40}, {Temperature, "212 F", 100},
	{Resistance, "2.5 ohm", 2.5}, {Resistance, "2.5 Ω", 2.5}, {Resistance, "2.5 \u2126", 2.5}, {Resistance, "2.5 R", 2.5},
	{Resistance, "2.5 k", 2500}, {Resistance, "2.5 kohm", 2500}, {Resistance, "2.5 kΩ", 2500},
	{Resistance, "2.5 k\u2126", 2500}, {Resistance, "2.5 M", 2.5e6}, {Resistance, "2.5 Mohm", 2.5e6},
	{Resistance, "2.5 MΩ",
		2.5e6}, {Resistance, "2.5 M\u2126", 2.5e6}, {Resistance, "2.5 mohm", 0.0025}, {Resistance, "2.5 mΩ", 0.0025},
	{Resistance, "2.5 m\u2126", 0.0025},
	{Energy, "2.5 Wh", 2.5}, {Energy, "2.5 kWh", 2500}, {Apparent, "2.5 VA", 2.5}, {Apparent, "2.5 mVA", 0.0025},
	{Frequency, "2.5 Hz", 2.5}, {Frequency, "2.5 kHz", 2500},
	{Area, "2.5 mm2", 2.5}, {Area, "2.5 mm²", 2.5}, {Area, "2.5 mm^2", 2.5},
	{SoundLevel, "2.5 dB", 2.5}, {SoundLevel, "2.5 dBA", 2.5}, {SoundLevel, "2.5 dB(A)", 2.5},
	{Ratio, "2.5 %", 0.025}, {Ratio, "2.5", 2.5},
}

func TestEveryUnit(t *testing.T) {
	tried := map[string]bool{}
	for _, tc := range unitValues {
		q, err := tc.in.Parse(tc.text)
		if assert.NoError(t, err, tc.text) {
			assert.InDelta(t, tc.want, q.SI, 1e-12*max(1, tc.want), "%s %s", tc.in.Name, tc.text)
		}
		_, unit := splitNumber(tc.text)
		tried[tc.in.Name+unit] = true
	}
	all := []Dimension{Length, Current, Voltage, Capacity, Time, Temperature, Resistance, Area, SoundLevel, Ratio,
		Energy, Apparent, Frequency}
	for _, d := range all {
		for _, u := range d.units {
			assert.True(t, tried[d.Name+" "+u.spelling] || tried[d.Name+u.spelling], "%s in %q", d.Name, u.spelling)
		}
	}
}

// What a dimension makes sense of: the first and the last value of its range, and
// one beyond each (common practice, no source).
func TestRanges(t *testing.T) {
	for _, tc := range []struct {
		in                         Dimension
		below, first, last, beyond string
	}{
		{Length, "-1 mm", "0 m", "100 km", "100.5 km"},
		{Current, "-1 mA", "0 A", "10000 A", "10050 A"},
		{Voltage, "-100.5 kV", "-100 kV", "100 kV", "100.5 kV"},
		{Capacity, "0.00095 mAh", "0.001 mAh", "100000 Ah", "100500 Ah"},
		{Time, "-1 ms", "0 s", "3660 d", "3660.01 d"},
		{Temperature, "-100.5 C", "-100 C", "200 C", "200.5 C"},
		{Resistance, "-1 mohm", "0 ohm", "1000000 M", "1005000 M"},
		{Energy, "0.00000095 Wh", "0.000001 Wh", "1000000 Wh", "1000500 Wh"},
		{Apparent, "0.00095 mVA", "0.001 mVA", "1000000 VA", "1000500 VA"},
		{Frequency, "0.00095 Hz", "0.001 Hz", "1000000 kHz", "1000500 kHz"},
		{Area, "0.000095 mm2", "0.0001 mm2", "10000 mm2", "10050 mm2"},
		{SoundLevel, "-50.5 dB", "-50 dB", "250 dB", "250.5 dB"},
		{Ratio, "-1 %", "0 %", "1000000", "1005000"},
	} {
		for _, text := range []string{tc.first, tc.last} {
			_, err := tc.in.Parse(text)
			assert.NoError(t, err, text)
		}
		for _, text := range []string{tc.below, tc.beyond} {
			q, err := tc.in.Parse(text)
			require.ErrorIs(t, err, ErrQuantity, text)
			assert.ErrorContains(t, err, "must lie between "+FormatNumber(tc.in.min))
			assert.Zero(t, q)
		}
	}
}
