package german

import (
	"testing"
	"time"

	"loopwitness/commission/words"

	"github.com/stretchr/testify/assert"
)

// How German writes numbers and times. From memory, of DIN 5008: the decimal sign is a comma, a
// blank stands before a unit, and a day is written 24. November 2026 or 24.11.2026. No source
// for the true minus sign, which print uses.
func TestNumbersAndTimes(t *testing.T) {
	l := Language{}
	evening := time.Date(2026, time.November, 24, 21, 19, 41, 0, time.FixedZone("", 3600))
	march := time.Date(2027, time.March, 3, 7, 5, 0, 0, time.UTC)
	for _, c := range []struct{ is, want string }{
		{l.Number(12.6, words.AsNeeded), "12,6"},
		{l.Number(12.6, 2), "12,60"},
		{l.Number(-0.25, words.AsNeeded), "−0,25"},
		{l.Number(-3, 1), "−3,0"},
		{l.Number(12000, words.AsNeeded), "12000"},
		{l.Number(0, 0), "0"},

		{l.quantity("12.6 V"), "12,6 V"},
		{l.quantity("-0.5 dB"), "−0,5 dB"},
		{l.quantity("0.22 mm2"), "0,22 mm²"},
		{l.quantity("> 200 Mohm"), "> 200 MΩ"},
		{l.quantity("4k7"), "4k7"},
		{l.quantity("18 m"), "18 m"},
		{l.quantity("± 0.02 V"), "± 0,02 V"},

		{l.Duration(1960 * time.Millisecond), "1,96 s"},
		{l.Duration(0), "0 s"},
		{l.Duration(59999 * time.Millisecond), "59,999 s"},
		{l.Duration(10 * time.Minute), "10 min"},
		{l.Duration(90 * time.Second), "1 min 30 s"},
		{l.Duration(2*time.Hour + 5*time.Minute), "2 h 5 min"},
		{l.Duration(72 * time.Hour), "72 h"},

		{l.Date(evening), "24. November 2026"},
		{l.Date(march), "3. März 2027"},
		{l.TimeOfDay(evening), "21:19:41"},
		{l.Moment(evening), "24.11.2026 21:19 +01:00"},
		{l.Moment(march), "03.03.2027 07:05 +00:00"},
	} {
		if c.is != c.want {
			t.Errorf("%q, want %q", c.is, c.want)
		}
	}
}

// Every month has its name, in order.
func TestMonths(t *testing.T) {
	for i, want := range []string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September",
		"Oktober", "November", "Dezember"} {
		day := time.Date(2026, time.Month(i+1), 1, 0, 0, 0, 0, time.UTC)
		if is := (Language{}).Date(day); is != "1. "+want+" 2026" {
			t.Errorf("month %d: %q", i+1, is)
		}
	}
}

// Every chemistry of the site file, and that there is no battery, is said in German.
func TestChemistries(t *testing.T) {
	for code, want := range map[string]string{"none": "keiner", "lead-acid": "Blei"} {
		assert.Equal(t, want, Language{}.Say(words.Chemistry(code)))
	}
}
