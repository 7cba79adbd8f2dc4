package typed

import (
	"loopwitness/commission/ask"
)

// Hint says how something is typed, where that needs no argument.
type Hint string

// The hints, and words of a screen.
const (
	BackHint        Hint = "back"      // how to take the choice before it back
	LeaveOutHint    Hint = "leave-out" // how to leave it out
	WholeYesHint    Hint = "whole-yes" // a y is not enough
	NoBackHint      Hint = "no-back"   // no takes the choice before it back
	FileHint        Hint = "file"      // a picture is named by its file
	NotMeasuredHint Hint = "not-measured"
	OpenLoopHint    Hint = "open-loop"
	NeverHint       Hint = "never"
	CautionWord     Hint = "caution"
	ChoosePrompt    Hint = "choose"
	AnswerPrompt    Hint = "answer"
	YesNoPrompt     Hint = "yes-no"
	TypePrompt      Hint = "type"   // one of the words that follow
	PauseMeaning    Hint = "pause"  // of a key
	SpaceKey        Hint = "space"  // name of a key
	ArrowsMeaning   Hint = "arrows" // how a list is used
	NothingChosen   Hint = "nothing-chosen"
	ListHint        Hint = "list" // what is typed below a list of lines
	BriefListHint   Hint = "brief-list"
	AllHint         Hint = "all" // how the whole board is shown
	NotPairedHint   Hint = "not-paired"
	NoRoomHint      Hint = "no-room"       // for a code
	UnencryptedHint Hint = "unencrypted"   // an address
	NotConnected    Hint = "not-connected" // to the controller
)

// Example is an example of what is typed.
type Example string

// Examples of what has a form of its own.
const (
	LevelExample     Example = "96 dB(A) at 3 m ± 0.1 m over 55 dB class 2"
	ConductorExample Example = "22 AWG, 0.22 mm2"
	CableExample     Example = "4 red black green white / hall"
	ValuesExample    Example = "12.4 ohm >200 Mohm >200 Mohm"
	dateExample      Example = "2027-03-01"
	timeExample      Example = "14:05"
)

// QuantityExample is an example of a quantity with its unit.
type QuantityExample string

// RedoHint is what the word for it takes again.
type RedoHint struct{ Of ask.Phrase }

// MeterShows is what a simulated voltmeter shows.
type MeterShows struct{ Text string }

// BuildingShows is what is heard or seen in a simulated building: yes or no.
type BuildingShows struct{ Text string }

// OfferHint is a word that is offered beside a line of one's own.
type OfferHint struct{ Option ask.Option }

// Code names the hint.
func (OfferHint) Code() string       { return "typed/offer" }
func (h Hint) Code() string          { return "typed/" + string(h) }
func (Example) Code() string         { return "typed/example" }
func (QuantityExample) Code() string { return "typed/example" }
func (RedoHint) Code() string        { return "typed/redo" }
func (MeterShows) Code() string      { return "typed/meter-shows" }
func (BuildingShows) Code() string   { return "typed/building-shows" }

// hints say how a question is answered with a keyboard.
func hints(q ask.Question) []ask.Phrase {
	hints := ofForm(q)
	if _, listed := q.Takes.(ask.OneOf); q.Redo != nil && !listed {
		hints = append(hints, RedoHint{q.Redo})
	}
	return hints
}

// ofForm are the hints about the form of an answer.
func ofForm(q ask.Question) []ask.Phrase {
	var hints []ask.Phrase
	switch t := q.Takes.(type) {
	case ask.Line:
		for _, o := range t.Offers {
			hints = append(hints, OfferHint{o})
		}
		if t.Instead == ask.NotMeasured {
			hints = append(hints, NotMeasuredHint)
		}
	case ask.Quantity:
		hints = append(hints, QuantityExample(t.In.Examples))
		switch t.Instead {
		case ask.NotMeasured:
			hints = append(hints, NotMeasuredHint)
		case ask.OpenLoop:
			hints = append(hints, OpenLoopHint)
		}
	case ask.Whole:
		hints = append(hints, Example("3"))
	case ask.SoundLevel:
		hints = append(hints, LevelExample)
	case ask.Conductor:
		hints = append(hints, ConductorExample)
	case ask.CableSeen:
		hints = append(hints, CableExample)
	case ask.CableValues:
		hints = append(hints, ValuesExample)
	case ask.Date:
		hints = append(hints, dateExample)
	case ask.TimeOfDay:
		hints = append(hints, timeExample)
	case ask.Names:
		if len(t.Of) > 0 {
			hints = append(hints, Example(t.Of[len(t.Of)-1]))
		}
	case ask.CentreTime:
		hints = append(hints, Example("21:05:30, 21:05"))
		if t.Instead {
			hints = append(hints, NeverHint)
		}
	case ask.Items:
		if t.Brief {
			hints = append(hints, BriefListHint)
		} else {
			hints = append(hints, ListHint)
		}
	case ask.Points:
		hints = append(hints, pointHints(t.Board)...)
	case ask.Signature:
		hints = append(hints, FileHint)
	case ask.YesNo:
		if t.Danger {
			hints = append(hints, WholeYesHint)
		}
		switch {
		case q.Back:
			hints = append(hints, NoBackHint)
		case q.Optional:
			hints = append(hints, LeaveOutHint)
		}
		return hints
	case ask.OneOf:
		return nil
	}
	switch {
	case q.Back:
		hints = append(hints, BackHint)
	case q.Optional:
		hints = append(hints, LeaveOutHint)
	}
	return hints
}
