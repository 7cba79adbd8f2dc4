package german

import (
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// ofUnits says what was measured, as it was typed.
func (l Language) ofUnits(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.Measured:
		return l.reading(string(p)), true
	case words.Chemistry:
		return germanChemistry(string(p)), true
	}
	return "", false
}

// inReadings are words inside of readings, which are kept as codes.
var inReadings = strings.NewReplacer(" at ", " in ", " over ", " über ", " class ", " Klasse ")

// reading is a reading as it was typed, with the words and the decimal signs of German.
func (l Language) reading(text string) string {
	if text == "open" || text == "none" {
		return l.word(text)
	}
	return l.quantity(inReadings.Replace(words.ReadingAsTyped(l.Units, text, pointed)))
}

// run is the length of a cable, or a distance, as typed.
func (l Language) run(text string) string {
	return l.quantity(words.LengthAsTyped(l.Units, text, pointed))
}

// conductor is one as print has it: 0,22 mm².
func (l Language) conductor(text string) string {
	return l.quantity(words.ConductorAsTyped(l.Units, text))
}

// unknownRun is the cable that may be there where the site file tells of none.
func (l Language) unknownRun() string {
	return words.Metres(l.Units, 500, 0, l.Number) + " mit " + l.conductor("0.14 mm²")
}

// pointed is a number with a decimal point: quantity has it as a comma.
func pointed(value float64, decimals int) string { return words.English{}.Number(value, decimals) }

// within is the uncertainty of a distance.
func (l Language) within(a judge.Assumable) string {
	if l.Units == site.US {
		return assumed(words.InInches(a), " in")
	}
	return assumed(a, " m")
}
