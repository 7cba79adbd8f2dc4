package words

import (
	"fmt"
	"strconv"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// English is the catalogue in English.
type English struct{ Units site.Units }

// In is English with other units.
func (English) In(u site.Units) Language { return English{Units: UnitsOf(u)} }

// Tag is en.
func (English) Tag() string { return "en" }

// Say is the phrase in English.
func (l English) Say(p Phrase) string {
	for _, of := range []func(Phrase) (string, bool){
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
	panic(fmt.Sprintf("the English catalogue has no words for %s (%T)", p.Code(), p))
}

// Number is a value with so many decimals; a minus is as long as a dash.
func (English) Number(value float64, decimals int) string {
	text := checks.FormatNumber(value)
	if decimals != AsNeeded {
		text = strconv.FormatFloat(value, 'f', decimals, 64)
	}
	if text[0] == '-' {
		text = "−" + text[1:]
	}
	return text
}

// Duration is a span of time in the units that a person would take.
func (English) Duration(d time.Duration) string { return checks.FormatDuration(d) }

// Date is a day: 24 November 2026, with US units November 24, 2026.
func (l English) Date(t time.Time) string {
	if l.Units == site.US {
		return t.Format("January 2, 2006")
	}
	return t.Format("2 January 2006")
}

// TimeOfDay is a time to the second: 21:19:41.
func (English) TimeOfDay(t time.Time) string { return t.Format(time.TimeOnly) }

// Moment is a day, a time of it to the minute, and the zone: 2026-11-24 21:19 +00:00.
func (English) Moment(t time.Time) string { return t.Format("2006-01-02 15:04 -07:00") }
