// Package german is the catalogue in German: a file for each of English's, with the same
// names of functions, so that what a phrase is said with is found beside it.
package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strconv"
	"time"

	"loopwitness/checks"
)

// Language is the catalogue in German.
type Language struct{}

// Tag is de.
func (Language) Tag() string { return "de" }

// Say is the phrase in German.
func (l Language) Say(p words.Phrase) string {
	for _, of := range []func(words.Phrase) (string, bool){
		l.ofReused, l.ofLabels, l.ofNext, l.ofDue, l.ofFound, l.ofAlarm, l.ofProgramme, l.ofJudge, l.ofCable, l.ofListening,
		l.ofAsk, l.ofNotice, l.ofTyped, l.ofContents, l.ofCertificate, l.ofComposed,
		l.ofSlips, l.ofConsistency, l.ofPhone, l.ofPage, l.ofRoaming, l.ofLearning, l.ofEarlier, l.ofLooked,
		l.ofSince, l.ofSigning,
	} {
		if text, has := of(p); has {
			return text
		}
	}
	panic(fmt.Sprintf("the German catalogue has no words for %s (%T)", p.Code(), p))
}

// Number is a value with so many decimals; a minus is as long as a dash.
func (Language) Number(value float64, decimals int) string {
	text := checks.FormatNumber(value)
	if decimals != words.AsNeeded {
		text = strconv.FormatFloat(value, 'f', decimals, 64)
	}
	if text[0] == '-' {
		text = "−" + text[1:]
	}
	return text
}

// Duration is a span of time in the units that a person would take.
func (Language) Duration(d time.Duration) string { return checks.FormatDuration(d) }

// Date is a day: 24 November 2026.
func (Language) Date(t time.Time) string { return t.Format("2 January 2006") }

// TimeOfDay is a time to the second: 21:19:41.
func (Language) TimeOfDay(t time.Time) string { return t.Format(time.TimeOnly) }

// Moment is a day, a time of it to the minute, and the zone: 2026-11-24 21:19 +00:00.
func (Language) Moment(t time.Time) string { return t.Format("2006-01-02 15:04 -07:00") }
