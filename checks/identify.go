package checks

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Guess is what an unknown cable probably is, and what to check next. Likely
// guesses come first.
type Guess struct {
	What  string
	Why   string
	Check string
}

// IdentifyCable lists what a cable probably is from its number of cores, the
// colours of their insulation, and the reading in Ω between the two cores of its
// circuit (+Inf for open, NaN for not measured). Colours have no standard:
// every guess says what to measure before it is believed. Common practice, no
// source. Cores 1 to 50.
func IdentifyCable(cores int, colours []string, ohm float64) ([]Guess, error) {
	if cores < 1 || cores > 50 {
		return nil, fmt.Errorf("%w: a cable of %d cores", ErrQuantity, cores)
	}
	if len(colours) > cores {
		return nil, fmt.Errorf("%w: %d colours for %d cores", ErrQuantity, len(colours), cores)
	}
	if ohm < 0 {
		return nil, fmt.Errorf("%w: %v Ω", ErrQuantity, ohm)
	}
	guesses := byCores(cores, colours)
	if !math.IsNaN(ohm) {
		guesses = append([]Guess{byReading(ohm)}, guesses...)
	}
	if mainsColours(colours) {
		guesses = append([]Guess{{"perhaps a mains cable", "its colours are used for mains",
			"treat it as live: a licensed person must prove it dead before anyone touches it"}}, guesses...)
	}
	return guesses, nil
}

// nearPreferred is how near a reading must be to a preferred value to suggest it.
const nearPreferred = 0.02

func byReading(ohm float64) Guess {
	switch {
	case math.IsInf(ohm, 1) || ohm >= openOhm:
		return Guess{"an open circuit", "it reads open", "close the door or window, or operate the detector, and read again: a change means a contact, none means a cut or an unused cable"}
	case ohm < 50:
		return Guess{"a closed contact loop without a resistor, or a short", fmt.Sprintf("it reads %s Ω, which is cable and contacts only", FormatNumber(ohm)),
			"open each contact in turn: the reading must go open; if it does not, look for a bridge"}
	}
	value, off := NearestPreferred(ohm)
	half, offHalf := NearestPreferred(ohm / 2)
	switch {
	case off <= nearPreferred:
		return Guess{fmt.Sprintf("a circuit with an end-of-line resistor of %s Ω", FormatNumber(value)), fmt.Sprintf("it reads %s Ω, within %.1f %% of a preferred value", FormatNumber(ohm), 100*off),
			"open the contact: open means one resistor, about twice the reading means a second one at the contact"}
	case offHalf <= nearPreferred:
		return Guess{fmt.Sprintf("two resistors of %s Ω in series, with the contact active", FormatNumber(half)), fmt.Sprintf("it reads %s Ω, within %.1f %% of twice a preferred value", FormatNumber(ohm), 100*offHalf),
			"bring the contact to rest: half the reading confirms it"}
	}
	return Guess{"a circuit with several resistors, or a damp or bad joint", fmt.Sprintf("%s Ω is no preferred value", FormatNumber(ohm)),
		"read it in both directions and again with each contact operated; a reading that wanders is a fault"}
}

func byCores(cores int, colours []string) []Guess {
	redBlack := has(colours, "red") && has(colours, "black")
	supply := "measure the voltage between red and black, and its polarity, before anything is connected"
	if !redBlack {
		supply = "find the supply pair by its voltage, and its polarity, before anything is connected"
	}
	switch {
	case cores == 1:
		return []Guess{{"a single conductor: earth, or half of a circuit", "one core", "trace it to both ends"}}
	case cores == 2 && redBlack:
		return []Guess{{"a supply or sounder pair", "two cores, red and black", supply}, {"a contact loop", "two cores", "read its resistance with the contact open and closed"}}
	case cores == 2:
		return []Guess{{"a contact loop", "two cores", "read its resistance with the contact open and closed"}, {"a sounder or supply pair", "two cores", "measure the voltage first"}}
	case cores <= 5:
		return []Guess{{"a powered detector: supply pair and alarm loop", fmt.Sprintf("%d cores", cores), supply}, {"two contact loops", "two pairs", "read each pair with its contact open and closed"}}
	case cores <= 7:
		return []Guess{{"a powered detector: supply, alarm and tamper loops", fmt.Sprintf("%d cores", cores), supply}, {"a sounder with strobe and tamper", "six cores are common", supply}}
	}
	return []Guess{{"a trunk to a keypad, a junction box or several detectors", fmt.Sprintf("%d cores", cores), "open the far end and label each pair before anything is disconnected"}}
}

func has(colours []string, want string) bool {
	return slices.ContainsFunc(colours, func(c string) bool { return strings.EqualFold(strings.TrimSpace(c), want) })
}

// mainsColours: cores commonly used for mains somewhere in the world: brown and
// blue, black and white, red and black with an earth, and any earth core.
func mainsColours(colours []string) bool {
	earth := slices.ContainsFunc(colours, func(c string) bool {
		c = strings.ToLower(strings.TrimSpace(c))
		return strings.Contains(c, "green") && strings.Contains(c, "yellow") || c == "bare" || len(colours) == 3 && c == "green"
	})
	return earth || has(colours, "brown") && has(colours, "blue") || len(colours) <= 3 && has(colours, "black") && has(colours, "white")
}
