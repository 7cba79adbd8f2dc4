// Package words turns codes into sentences: a typed catalogue, one implementation for
// each language. Below it nothing is a sentence; above it nothing else makes one for a
// technician, a customer or an insurer.
package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/site"
)

// Phrase is something that can be said: a code, with the arguments that its type
// holds. The rooms below declare them; a value of one has no language.
type Phrase = interface{ Code() string }

// Language says phrases, and writes what has no words as its readers write it.
type Language interface {
	// Tag is its BCP 47 tag.
	Tag() string
	// Say is a phrase as a sentence or a name. A phrase that the catalogue does not
	// have is a fault of the program, and panics: a test tries them all.
	Say(Phrase) string
	// Computed is a computed row, part by part.
	Computed(judge.Computed) Row
	// Number is a value with so many decimals, or AsNeeded.
	Number(value float64, decimals int) string
	// Duration is a span of time in the units that a person would take: 10 min, 1.96 s.
	Duration(time.Duration) string
	// Date is a day.
	Date(time.Time) string
	// TimeOfDay is a time to the second.
	TimeOfDay(time.Time) string
	// Moment is a day with the time of it to the minute, and the zone.
	Moment(time.Time) string
	// In is the language with other units.
	In(site.Units) Language
}

// AsNeeded stands for as many decimals as a value has, six significant digits at most.
const AsNeeded = -1

// Row is a computed row in words. Missing is set where it could not be computed, the
// others where it could.
type Row struct{ About, Inputs, Formula, Result, Limit, Missing, Change string }
