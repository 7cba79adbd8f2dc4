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

	english string
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

// Error is why, in English.
func (r Refused) Error() string { return r.english }

// Unwrap lets a quantity be told by checks.ErrQuantity.
func (r Refused) Unwrap() error {
	if r.Quantity == nil {
		return nil
	}
	return r.Quantity
}

// says adds the words of the error.
func (r Refused) says(format string, args ...any) error {
	r.english = fmt.Sprintf(format, args...)
	return r
}

// because is a refusal for a reason that somebody else gave, nil for none.
func because(why RefusedWhy, text string, err error) error {
	if err == nil {
		return nil
	}
	r := Refused{Why: why, Text: text}
	if errors.As(err, &r.Quantity) {
		r.Why = NoQuantity
	}
	return r.says("%s", err.Error())
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
		return "", Refused{Why: TwoSigns, Text: number}.says("%q has more than one decimal sign; write only that of the "+
			"decimals", number)
	case len(decimals) == 3 && len(whole) <= 3 && strings.Trim(whole, "0") != "" && whole[0] != '0':
		takes := []string{whole + "." + decimals, whole + decimals}
		return "", Refused{Why: TwoReadings, Text: number, Takes: takes}.says("%q can be read in two ways; write %s or %s",
			number, takes[0], takes[1])
	}
	return whole + "." + decimals + tail, nil
}
