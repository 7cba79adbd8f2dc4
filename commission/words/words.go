// Package words turns codes into sentences: a typed catalogue, one implementation for
// each language. Below it nothing is a sentence; above it nothing else makes one for a
// technician, a customer or an insurer.
package words

import "time"

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
	// Number is a value with so many decimals.
	Number(value float64, decimals int) string
	// Duration is a span of time in the units that a person would take: 10 min, 1.96 s.
	Duration(time.Duration) string
	// Date is a day.
	Date(time.Time) string
}
