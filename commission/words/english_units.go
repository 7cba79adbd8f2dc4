package words

import (
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/site"
)

// ofUnits says what was measured, as it was typed.
func (l English) ofUnits(p Phrase) (string, bool) {
	switch p := p.(type) {
	case Measured:
		return l.reading(string(p)), true
	case Chemistry:
		return string(p), true
	}
	return "", false
}

func (l English) reading(text string) string {
	return unitSigns.Replace(ReadingAsTyped(l.Units, text, l.Number))
}

// unitSigns are how units are printed that are typed in letters.
var unitSigns = strings.NewReplacer(" Mohm", " MΩ", " kohm", " kΩ", " ohm", " Ω")

// run is the length of a cable, or a distance, as typed.
func (l English) run(text string) string { return LengthAsTyped(l.Units, text, l.Number) }

// conductor writes one as print does: 0.22 mm², which a keyboard does not have.
func (l English) conductor(text string) string {
	return strings.ReplaceAll(ConductorAsTyped(l.Units, text), "mm2", "mm²")
}

// unknownRun is the cable that may be there where the site file tells of none.
func (l English) unknownRun() string {
	return Metres(l.Units, 500, 0, l.Number) + " of " + l.conductor("0.14 mm²")
}

// within is the uncertainty of a distance.
func (l English) within(a judge.Assumable) string {
	if l.Units == site.US {
		return assumed(InInches(a), " in")
	}
	return assumed(a, " m")
}
