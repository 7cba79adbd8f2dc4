package ask

import (
	"errors"
	"fmt"
	"strings"

	"loopwitness/checks"
)

// Refused is why a text is no answer: an error for whoever reads a log, and a phrase for whoever
// typed it.
type Refused struct {
	Why RefusedWhy
	// Text is what was typed, or the bound that it has to keep.
	Text string
	// Takes are the words that are taken instead, nil where they are not few.
	Takes []string
	// Number is the bound of a length or of a number.
	Number int
	// Quantity is why a text is no quantity, nil for other reasons.
	Quantity *checks.Refusal

	cause error // that somebody else gave, nil for none
}

// RefusedWhy is why.
type RefusedWhy string

// Why a text is no answer.
const (
	NothingTyped  RefusedWhy = "nothing"
	TooLong       RefusedWhy = "long"         // Number bytes are the most
	NoQuantity    RefusedWhy = "quantity"     // Quantity tells why
	TwoReadings   RefusedWhy = "two-readings" // a comma may part thousands or decimals; Takes are both
	TwoSigns      RefusedWhy = "two-signs"    // more than one decimal sign in a number
	IsNegative    RefusedWhy = "negative"
	OnForLess     RefusedWhy = "on-for" // Text is how long
	NoLevel       RefusedWhy = "level"
	NoConductor   RefusedWhy = "conductor"
	NoCable       RefusedWhy = "cable"
	NoCableValues RefusedWhy = "cable-values"
	NoDay         RefusedWhy = "day"
	DayPast       RefusedWhy = "day-past" // Text is the first
	DayFar        RefusedWhy = "day-far"  // Text is the last
	NoTime        RefusedWhy = "time"
	NoSuchName    RefusedWhy = "name"
	WholeWord     RefusedWhy = "whole-word" // Takes are they
	OneOfThese    RefusedWhy = "one-of"
	NotOnList     RefusedWhy = "list"
	NotOnBoard    RefusedWhy = "board"   // Takes has an example
	NoWholeNumber RefusedWhy = "number"  // Number is the most
	NoPicture     RefusedWhy = "picture" // is an answer here
	NoDrawing     RefusedWhy = "drawing" // is an answer here
	PictureNeeded RefusedWhy = "picture-needed"
)

// Code names it.
func (r Refused) Code() string { return "refused/" + string(r.Why) }

// Unwrap is the reason that somebody else gave, nil for none.
func (r Refused) Unwrap() error { return r.cause }

// because is a refusal for a reason that somebody else gave, nil for none.
func because(why RefusedWhy, text string, err error) error {
	if err == nil {
		return nil
	}
	r := Refused{Why: why, Text: text, cause: err}
	if errors.As(err, &r.Quantity) {
		r.Why = NoQuantity
	}
	return r
}

// Error is why, in English.
func (r Refused) Error() string {
	if r.cause != nil {
		return r.cause.Error()
	}
	takes := strings.Join(r.Takes, ", ")
	switch r.Why {
	case NothingTyped:
		return "an answer is needed here"
	case TooLong:
		return fmt.Sprintf("longer than %d bytes; shorten it", r.Number)
	case TwoReadings:
		return fmt.Sprintf("%q can be read in two ways; write %s", r.Text, strings.Join(r.Takes, " or "))
	case TwoSigns:
		return fmt.Sprintf("%q has more than one decimal sign; write only that of the decimals", r.Text)
	case IsNegative:
		return "it cannot be negative"
	case OnForLess:
		return fmt.Sprintf("it was on for %s only", r.Text)
	case DayPast:
		return fmt.Sprintf("that day is past; take %s or later", r.Text)
	case DayFar:
		return fmt.Sprintf("that day is too far ahead; take %s or earlier", r.Text)
	case NoDay:
		return "write year-month-day, for example 2027-03-01"
	case NoSuchName:
		return fmt.Sprintf("there is no %q; take one of: %s", r.Text, takes)
	case WholeWord:
		return "type the whole word, " + strings.Join(r.Takes, " or ")
	case OneOfThese:
		return "answer with one of: " + takes
	case NotOnList:
		return fmt.Sprintf("the list has no %q; take numbers of it, or one of: %s", r.Text, takes)
	case NotOnBoard:
		return fmt.Sprintf("the board has no %q; take a number of it, such as %s", r.Text, takes)
	case NoWholeNumber:
		return fmt.Sprintf("write a whole number from 0 to %d", r.Number)
	case NoPicture:
		return "a picture is no answer here"
	case NoDrawing:
		return "a drawing is no answer here"
	case PictureNeeded:
		return "a picture is needed here"
	}
	return fmt.Sprintf("%q cannot be understood here", r.Text)
}

// withPoints has decimal commas as points. A number that may be read in two ways is refused:
// 1,234 is twelve hundred to one reader and little more than one to another.
func withPoints(text string) (string, error) {
	var b strings.Builder
	for rest := text; rest != ""; {
		start := strings.IndexAny(rest, "0123456789.,")
		if start < 0 {
			b.WriteString(rest)
			break
		}
		end := start + len(rest[start:]) - len(strings.TrimLeft(rest[start:], "0123456789.,"))
		number, err := withPoint(rest[start:end])
		if err != nil {
			return "", err
		}
		b.WriteString(rest[:start] + number)
		rest = rest[end:]
	}
	return b.String(), nil
}

// withPoint is one number. A comma that ends it parts it from what follows.
func withPoint(number string) (string, error) {
	number, tail := strings.TrimRight(number, ","), number[len(strings.TrimRight(number, ",")):]
	whole, decimals, comma := strings.Cut(number, ",")
	switch {
	case !comma || whole == "":
		return number + tail, nil
	case strings.ContainsAny(whole+decimals, ".,"):
		return "", Refused{Why: TwoSigns, Text: number}
	case len(decimals) == 3 && len(whole) <= 3 && strings.Trim(whole, "0") != "" && whole[0] != '0':
		takes := []string{whole + "." + decimals, whole + decimals}
		return "", Refused{Why: TwoReadings, Text: number, Takes: takes}
	}
	return whole + "." + decimals + tail, nil
}
