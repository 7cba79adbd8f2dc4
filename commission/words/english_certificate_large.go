package words

import (
	"fmt"
	"slices"
	"strings"
)

// ofLarge says what stands for several that are alike.
func (l English) ofLarge(p Phrase) (string, bool) {
	switch p := p.(type) {
	case Heading:
		return "Annex: voltage at each powered detector", p == DropsHeading
	case Column:
		text := map[Column]string{DetectorsColumn: "Detectors", CurrentColumn: "Current",
			VoltageColumn: "Voltage at it"}[p]
		return text, text != ""
	case Note:
		text := map[Note]string{
			DropsNote: "As computed under alarm load; what the formula is, and the limit, stands in the section on what was " +
				"computed. R: of the cable, there and back. Detectors with the same cable, current and voltage share a row.",
			LoopsShared: "Zones with the same resistors share a row where their cables change hardly anything: what " +
				"stands in it holds for all of them.",
		}[p]
		return text, text != ""
	case DropsOf:
		return fmt.Sprintf("Voltage at %d powered detectors", p.N), true
	case DropsLowest:
		return fmt.Sprintf("at the least %s V, at %s", l.Number(p.Volt, 2), briefly(p.At)), true
	case DropsFrom:
		var rules []string
		for _, r := range p.Rules {
			rules = append(rules, l.Say(r))
		}
		slices.Sort(rules)
		from, to := FromTo(l.Units, p.From, p.To, l.Number)
		return fmt.Sprintf("%s V; cables of %s to %s (%s); %s to %s; each stands in the annex (%s)",
			l.Number(p.Supply, AsNeeded), from, to, strings.Join(rules, "; "),
			milli(p.CurrentFrom), milli(p.CurrentTo), strings.TrimPrefix(l.Say(p.Annex), "Annex: ")), true
	case FedBy:
		text := l.run(p.Row.Length) + " of " + l.conductor(p.Row.Conductor)
		if p.Row.After != "" {
			text += fmt.Sprintf(", after %s, %s V lost before it", p.Row.After, l.Number(p.Row.Before, 2))
		}
		return text, true
	case AlikeZones:
		return "zones " + zones(p.Of), true
	case AlikePoints:
		return Runs(p.Of), true
	}
	return "", false
}
