package words

import "time"

// AsTyped is what a person typed, what has no words, or what was said already: it stands
// as it is in every language.
type AsTyped string

// Code names it.
func (AsTyped) Code() string { return "as-typed" }

// Joint is how the parts of a list stand together.
type Joint string

// The joints.
const (
	Commas     Joint = "commas"
	Semicolons Joint = "semicolons"
	And        Joint = "and"
	Sentences  Joint = "sentences"
)

// List is several phrases one after the other. Those that say nothing are left out.
type List struct {
	By Joint
	Of []Phrase
}

// Code names it.
func (l List) Code() string { return "list/" + string(l.By) }

// Parts are the phrases of a list in a language, without those that say nothing.
func (l List) Parts(in Language) []string {
	var parts []string
	for _, p := range l.Of {
		if text := in.Say(p); text != "" {
			parts = append(parts, text)
		}
	}
	return parts
}

// Titled is a phrase that stands by itself, as a title does.
type Titled struct{ Of Phrase }

// Code names it.
func (Titled) Code() string { return "titled" }

// Instant is a moment of a day, in the zone in which it is shown.
type Instant struct{ At time.Time }

// Code names it.
func (Instant) Code() string { return "instant" }

// Unit is a unit as it stands beside a number or in the head of a column.
type Unit string

// The units of columns.
const (
	Second Unit = "second"
	Volt   Unit = "volt"
	Ohm    Unit = "ohm"
)

// Code names the unit.
func (u Unit) Code() string { return "unit/" + string(u) }

// Quantity is a value with its unit.
type Quantity struct {
	Value    float64
	Decimals int // AsNeeded for as many as it takes
	In       Unit
}

// Code names it.
func (Quantity) Code() string { return "quantity" }

// OutOf is how many of how many.
type OutOf struct{ N, All int }

// Code names it.
func (OutOf) Code() string { return "out-of" }

// StillOpen says that a visit is not finished.
type StillOpen struct{ Open, All int }

// Code names it.
func (StillOpen) Code() string { return "still-open" }
