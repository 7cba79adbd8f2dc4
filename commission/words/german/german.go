// Package german is the catalogue in German: a file for each of English's, with the same
// names of functions, so that what a phrase is said with is found beside it.
package german

import (
	"loopwitness/commission/words"

	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// Language is the catalogue in German.
type Language struct{ Units site.Units }

// In is German with other units.
func (Language) In(u site.Units) words.Language { return Language{Units: words.UnitsOf(u)} }

// Tag is de.
func (Language) Tag() string { return "de" }

// Say is the phrase in German.
func (l Language) Say(p words.Phrase) string {
	for _, of := range []func(words.Phrase) (string, bool){
		l.ofLarge,
		l.ofReused, l.ofLabels, l.ofNext, l.ofDue, l.ofFound, l.ofAlarm, l.ofProgramme, l.ofJudge, l.ofCable, l.ofListening,
		l.ofAsk, l.ofNotice, l.ofTyped, l.ofContents, l.ofCertificate, l.ofComposed,
		l.ofSlips, l.ofConsistency, l.ofPhone, l.ofPage, l.ofRoaming, l.ofLearning, l.ofEarlier, l.ofLooked,
		l.ofSince, l.ofSigning, l.ofCharts, l.ofAround, l.ofUnits, l.ofWords, l.ofPageOne,
		l.ofWeb,
	} {
		if text, has := of(p); has {
			return text
		}
	}
	panic(fmt.Sprintf("the German catalogue has no words for %s (%T)", p.Code(), p))
}

// Number is a value with so many decimals, behind a comma; thousands are not grouped, and a
// minus is as long as a dash.
func (Language) Number(value float64, decimals int) string {
	text := checks.FormatNumber(value)
	if decimals != words.AsNeeded {
		text = strconv.FormatFloat(value, 'f', decimals, 64)
	}
	return comma(text)
}

// quantity is what stands as a text with a decimal point, a value with or without its unit
// ("12.6 V", "0.22 mm2", "4.7k"), as a German reads it: 12,6 V, 0,22 mm². It is for what is
// known to be a value: a point between digits of a name or an address is none.
func (Language) quantity(text string) string {
	return unitSigns.Replace(comma(text))
}

// unitSigns are how units are printed that are typed in letters.
var unitSigns = strings.NewReplacer("mm2", "mm²", " Mohm", " MΩ", " kohm", " kΩ", " ohm", " Ω")

var decimalPoint = regexp.MustCompile(`(\d)\.(\d)`)

// comma writes the decimal sign and a leading minus as German print does.
func comma(number string) string {
	text := decimalPoint.ReplaceAllString(number, "$1,$2")
	if rest, negative := strings.CutPrefix(text, "-"); negative {
		return "−" + rest
	}
	return text
}

// Duration is a span of time in the units that a person would take: 1,96 s, 10 min, 2 h 5 min.
// Milliseconds are not hidden below a minute.
func (l Language) Duration(d time.Duration) string {
	switch {
	case d < time.Minute:
		return l.Number(d.Seconds(), words.AsNeeded) + " s"
	case d < time.Hour:
		return inParts(d, time.Minute, "min", time.Second, "s")
	}
	return inParts(d, time.Hour, "h", time.Minute, "min")
}

func inParts(d, large time.Duration, largeUnit string, small time.Duration, smallUnit string) string {
	d = d.Round(small)
	text := fmt.Sprintf("%d %s", d/large, largeUnit)
	if rest := d % large / small; rest > 0 {
		text += fmt.Sprintf(" %d %s", rest, smallUnit)
	}
	return text
}

var months = [...]string{"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober",
	"November", "Dezember"}

// Date is a day: 24. November 2026.
func (Language) Date(t time.Time) string {
	return fmt.Sprintf("%d. %s %04d", t.Day(), months[t.Month()-time.January], t.Year())
}

// day is a day that is kept as 2026-11-24; anything else stands as it is.
func (l Language) day(text string) string {
	if t, err := time.Parse(time.DateOnly, text); err == nil {
		return l.Date(t)
	}
	return text
}

// TimeOfDay is a time to the second: 21:19:41.
func (Language) TimeOfDay(t time.Time) string { return t.Format(time.TimeOnly) }

// Moment is a day, a time of it to the minute, and the zone: 24.11.2026 21:19 +01:00.
func (Language) Moment(t time.Time) string { return t.Format("02.01.2006 15:04 -07:00") }
