package ask

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// Question asks for one answer. ID names it in scripted answers; it is the step's name
// and what is asked of it.
type Question struct {
	ID    string
	What  Phrase
	Help  Phrase   // nil for none
	About []Phrase // what the question is about, listed before it
	Takes Takes
	// Optional: it may be left out. Back: to leave it out takes the choice before it
	// back.
	Optional, Back bool
	// WayBack is a word that is taken whatever the question takes, to go back to the one
	// before it; "" for none.
	WayBack string
	// Shown is what a simulated instrument shows, "" for none.
	Shown string
	// Plausible is what a Quantity can be; outside of it, Surely asks whether it is meant.
	Plausible *Plausible
	// Step is the step that the question belongs to, "" for none.
	Step string
	// Shows is what a photograph that is taken now shows; "" for what Step tells.
	Shows record.About
	// Redo is what the word RedoWord takes again in place of an answer, nil for nothing.
	Redo Phrase
}

// Answer is what was answered to a question. Text is as typed, "" when left out.
type Answer struct {
	Text    string
	Drawing []byte          // of a Signature that was read from a picture: the strokes, a PNG
	Strokes *record.Strokes // of a Signature that was drawn on glass
	Shown   []string        // the texts of About, as they were shown
	// Completed tells that a unit was added: only one could be meant.
	Completed bool
	Confirmed bool // it cannot well be, but it is meant
	Redo      bool // the last reading or answer is taken again instead
}

// Takes is what a question accepts: one of the types below.
type Takes interface {
	// accept is a text that is not empty as it is taken, or says why it is none of it.
	accept(text string) (string, error)
}

// Line is a line of text, or the word that stands in its place.
type Line struct {
	Instead Instead // NoWord for none
	// Offers are lines that are offered beside what is typed, nil for none.
	Offers []Option
}

// Quantity is a quantity of a dimension with its unit, or the word that stands in its
// place.
type Quantity struct {
	In          checks.Dimension
	Instead     Instead // NoWord for none
	NotNegative bool
	// Unit is what a bare number is completed with, "" where more than one unit may be
	// meant: volts and millivolts of an uncertainty, minutes and seconds, mA and A.
	Unit string
	// Most is the longest time that can have been observed, nil for any.
	Most *time.Duration
}

// Instead is a word that may be answered in place of a quantity.
type Instead string

// The words in place of a quantity.
const (
	NoWord      Instead = ""
	NotMeasured Instead = "none" // it cannot be measured
	OpenLoop    Instead = "open" // a loop that reads open
)

// SoundLevel is a level with its distance, and perhaps that of the surroundings and
// the class of the meter: see checks.ParseLevel.
type SoundLevel struct{}

// Conductor is a conductor's gauge or cross-section.
type Conductor struct{}

// Date is a day, written year-month-day: no earlier than the one, no later than the other,
// "" for any.
type Date struct{ From, To string }

// Names are one of several names, such as points; where Several, some of them,
// separated by commas.
type Names struct {
	Of      []string
	Several bool
}

// YesNo is yes or no. Danger: by mistake, a yes would do harm.
type YesNo struct{ Danger bool }

// RedoWord takes the last reading or answer again, in place of an answer.
const RedoWord = "redo"

// The answers to a YesNo.
const (
	Yes = "yes"
	No  = "no"
)

// OneOf is one of several options. The first must do no harm if it is taken by mistake.
type OneOf struct{ Options []Option }

// Option is one of several answers. Word is the answer.
type Option struct {
	Word  string
	Label Phrase
}

// Signature is the drawing of a signature: a picture in which its strokes are found, or
// the strokes themselves.
type Signature struct{}

// Items are a list on one screen. The answer is ItemsRest (all that are open are as they
// should be), ItemsEach (they are asked one by one), ItemsLeave, or the words of some items,
// separated by spaces, that are taken one by one. Nothing typed is no answer.
//
// Brief: its items may be very many and alike, each with a name that is a short word: what
// has to be read stands above them.
type Items struct {
	Of    []Item
	Brief bool
}

// Item is a line of a list. Result is "" while it is open.
type Item struct {
	Word   string // short: its number on the list
	Step   string
	Label  Phrase
	Result record.Result
	Remark string
}

// The answers to Items that name no item.
const (
	ItemsRest  = "rest"
	ItemsEach  = "each"
	ItemsLeave = "leave"
)
