package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/site"
)

var germanPlaces = map[words.LabelPlace]string{
	words.AtController: "cable, controller end",
	words.AtFarEnd:     "cable, far end",
	words.AtTerminal:   "terminal",
}

// ofLabels says what stands on labels of cables and terminals.
func (l Language) ofLabels(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.LabelPlace:
		return germanPlaces[p], germanPlaces[p] != ""
	case words.LabelHead:
		return fmt.Sprintf("Zone %d · %s", p.Zone, l.Say(p.Place)), true
	case words.LabelCores:
		return l.labelCores(p), true
	case words.LabelTerminal:
		return "Terminal " + p.Address, true
	case words.LabelEnd:
		return labelEnd(p), true
	case words.LabelSheet:
		return fmt.Sprintf("%s · labels %s mm × %s mm, print at 100 %% · sheet %d of %d", p.Reference,
			l.Number(p.Width, words.AsNeeded), l.Number(p.Height, words.AsNeeded), p.Page, p.Pages), true
	}
	return "", false
}

func (l Language) labelCores(p words.LabelCores) string {
	if p.Seen == nil {
		return "Cores ____  colours ______________"
	}
	text := fmt.Sprintf("%d %s", p.Seen.Cores, plural(p.Seen.Cores, "core", "cores"))
	if len(p.Seen.Colours) > 0 {
		text += ": " + strings.Join(p.Seen.Colours, ", ")
	}
	return text
}

func labelEnd(p words.LabelEnd) string {
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
