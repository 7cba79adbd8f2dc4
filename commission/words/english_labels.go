package words

import (
	"fmt"
	"strings"

	"loopwitness/commission/site"
)

var englishPlaces = map[LabelPlace]string{
	AtController: "cable, controller end",
	AtFarEnd:     "cable, far end",
	AtTerminal:   "terminal",
}

// ofLabels says what stands on labels of cables and terminals.
func (l English) ofLabels(p Phrase) (string, bool) {
	switch p := p.(type) {
	case LabelPlace:
		return englishPlaces[p], englishPlaces[p] != ""
	case LabelHead:
		return fmt.Sprintf("Zone %d · %s", p.Zone, l.Say(p.Place)), true
	case LabelCores:
		return l.labelCores(p), true
	case LabelTerminal:
		return "Terminal " + p.Address, true
	case LabelEnd:
		return labelEnd(p), true
	case LabelSheet:
		return fmt.Sprintf("%s · labels %s mm × %s mm, print at 100 %% · sheet %d of %d", p.Reference,
			l.Number(p.Width, AsNeeded), l.Number(p.Height, AsNeeded), p.Page, p.Pages), true
	}
	return "", false
}

func (l English) labelCores(p LabelCores) string {
	if p.Seen == nil {
		return "Cores ____  colours ______________"
	}
	text := fmt.Sprintf("%d %s", p.Seen.Cores, plural(p.Seen.Cores, "core", "cores"))
	if len(p.Seen.Colours) > 0 {
		text += ": " + strings.Join(p.Seen.Colours, ", ")
	}
	return text
}

func labelEnd(p LabelEnd) string {
	switch p.Wiring {
	case site.NormallyClosed, site.NormallyOpen:
		return capital(string(p.Wiring)) + ", no resistor"
	}
	text := "End of line " + p.Hint.EndOfLine
	if p.Hint.ContactResistor != "" {
		text += ", contact " + p.Hint.ContactResistor
	}
	if p.Hint.FaultResistor != "" {
		text += ", fault " + p.Hint.FaultResistor
	}
	return text
}
