package german

import (
	"loopwitness/commission/words"

	"fmt"

	"loopwitness/commission/site"
)

var germanPlaces = map[words.LabelPlace]string{
	words.AtController: "Kabel, an der Zentrale",
	words.AtFarEnd:     "Kabel, fernes Ende",
	words.AtTerminal:   "Klemme",
}

// ofLabels says what stands on labels of cables and terminals.
func (l Language) ofLabels(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.LabelPlace:
		return germanPlaces[p], germanPlaces[p] != ""
	case words.LabelHead:
		return fmt.Sprintf("Linie %d · %s", p.Zone, l.Say(p.Place)), true
	case words.LabelCores:
		return l.labelCores(p), true
	case words.LabelTerminal:
		return "Klemme " + p.Address, true
	case words.LabelEnd:
		return l.labelEnd(p), true
	case words.LabelSheet:
		return fmt.Sprintf("%s · Etiketten %s mm × %s mm, mit 100 %% drucken · Blatt %d von %d", p.Reference,
			l.Number(p.Width, words.AsNeeded), l.Number(p.Height, words.AsNeeded), p.Page, p.Pages), true
	}
	return "", false
}

func (l Language) labelCores(p words.LabelCores) string {
	if p.Seen == nil {
		return "Adern ____  Farben ______________"
	}
	text := fmt.Sprintf("%d %s", p.Seen.Cores, plural(p.Seen.Cores, "Ader", "Adern"))
	if len(p.Seen.Colours) > 0 {
		text += ": " + l.listed(p.Seen.Colours)
	}
	return text
}

func (l Language) labelEnd(p words.LabelEnd) string {
	switch p.Wiring {
	case site.NormallyClosed, site.NormallyOpen:
		return germanWirings[p.Wiring] + ", kein Widerstand"
	}
	text := "Abschluss " + l.quantity(p.Hint.EndOfLine)
	if p.Hint.ContactResistor != "" {
		text += ", Kontakt " + l.quantity(p.Hint.ContactResistor)
	}
	if p.Hint.FaultResistor != "" {
		text += ", Störung " + l.quantity(p.Hint.FaultResistor)
	}
	return text
}
