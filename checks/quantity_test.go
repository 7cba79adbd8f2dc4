package checks

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestQuantitiesAsPeopleWriteThem(t *testing.T) {
	for _, tc := range []struct {
		in     Dimension
		text   string
		want   float64
		source string
	}{
		{Length, "18 m", 18, "SI"},
		{Length, "60 ft", 18.288, "international foot, from memory"},
		{Length, "3in", 0.0762, "international inch, from memory"},
		{Current, "450 mA", 0.45, "SI"},
		{Capacity, "7 Ah", 7, "common practice, no source"},
		{Time, "2 s", 2, "SI"},
		{Time, "500ms", 0.5, "SI"},
		{Time, "1 h 30 min", 5400, "SI brochure, from memory"},
		{Time, "12 h", 43200, "SI brochure, from memory"},
		{Temperature, "68 F", 20, "from memory"},
		{Temperature, "20 °C", 20, "SI"},
		{Resistance, "4k7", 4700, "IEC 60062, looked up"},
		{Resistance, "5k6", 5600, "IEC 60062, looked up"},
		{Resistance, "2R2", 2.2, "IEC 60062, looked up"},
		{Resistance, "470R", 470, "IEC 60062, looked up"},
		{Resistance, "1M0", 1e6, "IEC 60062, looked up"},
		{Resistance, "4.7 kΩ", 4700, "SI"},
		{Resistance, "4.7e3 ohm", 4700, "SI"},
		{SoundLevel, "96 dB(A)", 96, "common practice, no source"},
		{Ratio, "95 %", 0.95, "definition"},
	} {
		q, err := tc.in.Parse(tc.text)
		if assert.NoError(t, err, tc.text) {
			assert.InDelta(t, tc.want, q.SI, 1e-9, "%s (%s)", tc.text, tc.source)
			assert.Equal(t, tc.text, q.Text)
		}
	}
}

func TestNonsenseQuantitiesAreRefusedByName(t *testing.T) {
	for _, tc := range []struct {
		in         Dimension
		text, says string
	}{
		{Length, "18", "the unit is missing"},
		{Length, "-1 m", "must lie between"},
		{Length, "18 mA", `"mA" is no unit of it`},
		{Length, "NaN m", "is not a length"},
		{Length, "1e999 m", "is not a length"},
		{Length, strings.Repeat("9", 1_000_000) + " m", "is not a length"},
		{Capacity, "0 Ah", "must lie between"},
		{Time, "30 min 1 h", "larger unit first"},
		{Length, "0,22 m", "decimal sign"},
		{Resistance, "4k7k", "no unit"},
		{Time, "", "is not a time"},
	} {
		_, err := tc.in.Parse(tc.text)
		require.ErrorIs(t, err, ErrQuantity, tc.text[:min(20, len(tc.text))])
		assert.ErrorContains(t, err, tc.says)
		assert.Less(t, len(err.Error()), 300)
	}
}

func TestResolutionOfWhatWasTyped(t *testing.T) {
	for _, tc := range []struct {
		in   Dimension
		text string
		want float64
	}{{Resistance, "9.5k", 100}, {Resistance, "9k5", 100}, {Resistance, "9K53", 10}, {Resistance, " +9.50 kohm", 10}, {Resistance, "470R", 1}, {Resistance, "9.5e3 ohm", 0},
		{Voltage, "13.62 V", 0.01}, {Voltage, "50 mV", 0.001}, {Time, "2 s", 1}} {
		q, err := tc.in.Parse(tc.text)
		require.NoError(t, err, tc.text)
		assert.InDelta(t, tc.want, tc.in.Resolution(q), 1e-12, tc.text)
	}
}

func TestConductors(t *testing.T) {
	// Areas: NBS Handbook 100 reproduction, looked up (computed from its diameters).
	for text, area := range map[string]float64{"22 AWG": 0.3255, "AWG 18": 0.8230, "24awg": 0.2047, "0.22 mm2": 0.22, "1.5 mm²": 1.5} {
		c, err := ParseConductor(text)
		require.NoError(t, err, text)
		assert.InDelta(t, area, c.AreaMM2, 5e-5, text)
	}
	for _, text := range []string{"22", "99 AWG", "5/0 AWG", "-1 mm2", "AWG", "22 AWG AWG"} {
		_, err := ParseConductor(text)
		assert.ErrorIs(t, err, ErrQuantity, text)
	}
}

func TestFormatDuration(t *testing.T) {
	for want, d := range map[string]time.Duration{
		"0.42 s": 420 * time.Millisecond, "2 s": 2 * time.Second, "15 min": 15 * time.Minute,
		"1 min 30 s": 90 * time.Second, "12 h": 12 * time.Hour, "2 h 5 min": 125 * time.Minute,
	} {
		assert.Equal(t, want, FormatDuration(d))
	}
}

// What parses must print back to the same value; what fails returns nothing.
func FuzzQuantity(f *testing.F) {
	for _, s := range []string{"4k7", "18 m", "1 h 30 min", "-5 C", "1e3 ohm", "95%", "2R2"} {
		f.Add(s)
	}
	all := []Dimension{Length, Current, Voltage, Capacity, Time, Temperature, Resistance, Area, SoundLevel, Ratio}
	f.Fuzz(func(t *testing.T, s string) {
		for _, d := range all {
			q, err := d.Parse(s)
			if err != nil {
				if !errors.Is(err, ErrQuantity) || q != (Quantity{}) {
					t.Fatalf("%q: %v, %v", s, q, err)
				}
				continue
			}
			again, err := d.Parse(q.Text)
			if err != nil || again != q || math.IsNaN(q.SI) || math.IsInf(q.SI, 0) {
				t.Fatalf("%q as %s: %v, then %v (%v)", s, d.Name, q, again, err)
			}
		}
	})
}
