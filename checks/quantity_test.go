package checks

import (
	"errors"
	"fmt"
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
	}{
		{Resistance, "9.5k", 100}, {Resistance, "9k5", 100}, {Resistance, "9K53", 10},
		{Resistance, " +9.50 kohm", 10}, {Resistance, "470R", 1}, {Resistance, "9.5e3 ohm", 0},
		{Voltage, "13.62 V", 0.01}, {Voltage, "50 mV", 0.001}, {Time, "2 s", 1},
	} {
		q, err := tc.in.Parse(tc.text)
		require.NoError(t, err, tc.text)
		assert.InDelta(t, tc.want, tc.in.Resolution(q), 1e-12, tc.text)
	}
}

// The marking code of IEC 60062 (from memory) in its longest forms, and what only looks
// like it.
func TestMarkingCodes(t *testing.T) {
	for text, want := range map[string]float64{"4K7": 4700, "4K": 4000, "4k": 4000, "0R22": 0.22, "470R5": 470.5,
		"12345R6": 12345.6, "4k7000": 4700, "123456R": 123456} {
		q, err := Resistance.Parse(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, q.SI, 1e-9, text)
	}
	for _, text := range []string{"4k70000", "4ke1", "4k7k", "+4k7", "k7", "4.7k1"} {
		_, err := Resistance.Parse(text)
		assert.ErrorIs(t, err, ErrQuantity, text)
	}
	_, err := Voltage.Parse("4k7")
	assert.ErrorIs(t, err, ErrQuantity, "only resistances are marked so")
}

// Numbers with signs and exponents, and where they end.
func TestNumbersWithExponents(t *testing.T) {
	for text, want := range map[string]float64{"1e3 m": 1000, "1E3 m": 1000, "1e+3 m": 1000, "1e-3 m": 0.001, "+5 m": 5,
		".5 m": 0.5, "5. m": 5} {
		q, err := Length.Parse(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, q.SI, 1e-12, text)
	}
	for text, says := range map[string]string{"2e m": `"e m" is no unit of it`, "2e- m": `"e- m" is no unit of it`,
		"5e": `"e" is no unit of it`, "2e+": `"e+" is no unit of it`, "m": "is not a length;", "-": "is not a length;"} {
		_, err := Length.Parse(text)
		require.ErrorIs(t, err, ErrQuantity, text)
		assert.ErrorContains(t, err, says, text)
	}
}

func TestTimesInParts(t *testing.T) {
	for text, want := range map[string]float64{"1 h 30 min 15 s": 5415, "1h30min": 5400, "1h9min": 4140, "1h09min": 4140,
		"1 d 1 s": 86401, "0 h 30 min": 1800, "1 min 0 s": 60} {
		q, err := Time.Parse(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, q.SI, 1e-9, text)
	}
	for text, says := range map[string]string{"1 h 2 h": "larger unit first", "-1 h 90 min": "larger unit first",
		"-1 h": "must lie between", "1 h x min": "is not a time", "1 h 30": "the unit is missing", "1 x 30 min": "no unit",
		"1 h+30 min": `"h+" is no unit of it`} {
		_, err := Time.Parse(text)
		require.ErrorIs(t, err, ErrQuantity, text)
		assert.ErrorContains(t, err, says, text)
	}
}

// What is looked at ends with the 48th character; what is shown, too.
func TestLongQuantities(t *testing.T) {
	longest := strings.Repeat("0", 48-len("7 m")) + "7 m"
	q, err := Length.Parse(longest)
	require.NoError(t, err)
	assert.Equal(t, Quantity{7, longest}, q)
	_, err = Length.Parse("0" + longest)
	require.ErrorIs(t, err, ErrQuantity)
	assert.ErrorContains(t, err, `"0`+longest[:47]+`…"`)
	_, err = Length.Parse(strings.Repeat("x", 48))
	require.ErrorIs(t, err, ErrQuantity)
	assert.NotContains(t, err.Error(), "…")
}

// A refusal gives its reason in brackets, or none.
func TestRefusalsOfQuantities(t *testing.T) {
	for text, reason := range map[string]string{"18": " (the unit is missing)", "x": ""} {
		_, err := Length.Parse(text)
		assert.EqualError(t, err, fmt.Sprintf("not a usable quantity: %q is not a length%s; write for example %s", text,
			reason, Length.Examples))
	}
}

func TestQuantitiesGiven(t *testing.T) {
	assert.False(t, Quantity{}.Given())
	assert.True(t, Quantity{Text: "0 s"}.Given(), "zero was given")
	assert.Equal(t, 1500*time.Millisecond, Quantity{SI: 1.5}.Duration())
	assert.Equal(t, time.Nanosecond, Quantity{SI: 0.9e-9}.Duration(), "rounded")
	for _, d := range []Dimension{Resistance, Length, Ratio} {
		assert.LessOrEqual(t, d.Resolution(Quantity{}), 1.0, "of nothing there is no finer step")
	}
	assert.Zero(t, Resistance.Resolution(Quantity{}))
}

func TestFormatNumber(t *testing.T) {
	for v, want := range map[float64]string{0: "0", 1: "1", -2.5: "-2.5", 0.1: "0.1", 1.0 / 3: "0.333333",
		0.0001: "0.0001", 0.00015: "0.00015", 0.000099: "9.9e-05", 1.0 / 30_000: "3.33333e-05",
		123456.7: "123457", 1234567: "1234570", 999_999_000: "999999000",
		1e9: "1e+09", 1.5e9: "1.5e+09", -1e9: "-1e+09", 1234567890: "1.23457e+09"} {
		assert.Equal(t, want, FormatNumber(v))
	}
}

func TestConductors(t *testing.T) {
	// Areas: NBS Handbook 100 reproduction, looked up (computed from its diameters).
	for text, area := range map[string]float64{
		"22 AWG": 0.3255, "AWG 18": 0.8230, "24awg": 0.2047, "0.22 mm2": 0.22, "1.5 mm²": 1.5,
	} {
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
		"1 min": time.Minute, "1 h": time.Hour, "1 min 1 s": 61 * time.Second, "59.9 s": 59900 * time.Millisecond,
		"1 min 31 s": 90600 * time.Millisecond, "59 min 59 s": time.Hour - time.Second, "1 h 1 min": 61 * time.Minute,
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
