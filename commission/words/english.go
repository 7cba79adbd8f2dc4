package words

import (
	"fmt"
	"strconv"
	"time"

	"loopwitness/checks"
)

// English is the catalogue in English.
type English struct{}

// Tag is en.
func (English) Tag() string { return "en" }

// Say is the phrase in English.
func (l English) Say(p Phrase) string {
	for _, of := range []func(Phrase) (string, bool){
		l.ofProgramme, l.ofJudge, l.ofCable, l.ofListening, l.ofAsk, l.ofNotice, l.ofTyped,
	} {
		if text, has := of(p); has {
			return text
		}
	}
	panic(fmt.Sprintf("the English catalogue has no words for %s (%T)", p.Code(), p))
}

// Number is a value with so many decimals; a minus is as long as a dash.
func (English) Number(value float64, decimals int) string {
	text := strconv.FormatFloat(value, 'f', decimals, 64)
	if text[0] == '-' {
		text = "−" + text[1:]
	}
	return text
}

// Duration is a span of time in the units that a person would take.
func (English) Duration(d time.Duration) string { return checks.FormatDuration(d) }

// Date is a day: 24 November 2026.
func (English) Date(t time.Time) string { return t.Format("2 January 2006") }
