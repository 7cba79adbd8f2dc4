package german

import (
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/words"
)

// ofLarge says what stands for several that are alike.
func (l Language) ofLarge(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.Heading:
		return "Anhang: Spannung an jedem gespeisten Melder", p == words.DropsHeading
	case words.Column:
		text := map[words.Column]string{words.DetectorsColumn: "Melder", words.CurrentColumn: "Strom",
			words.VoltageColumn: "Spannung daran"}[p]
		return text, text != ""
	case words.Note:
		text := map[words.Note]string{
			words.DropsNote: "Berechnet bei Belastung durch einen Alarm; Formel und Grenze stehen im Abschnitt über das " +
				"Berechnete. R: des Kabels, hin und zurück. Melder mit gleichem Kabel, gleichem Strom und gleicher Spannung " +
				"teilen sich eine Zeile.",
			words.LoopsShared: "Linien mit gleichen Widerständen teilen sich eine Zeile, wo ihre Kabel kaum etwas " +
				"ändern: Was darin steht, gilt für alle.",
		}[p]
		return text, text != ""
	case words.DropsOf:
		return fmt.Sprintf("Spannung an %d gespeisten Meldern", p.N), true
	case words.DropsLowest:
		return fmt.Sprintf("mindestens %s V, an %s", l.Number(p.Volt, 2), briefly(p.At)), true
	case words.DropsFrom:
		var rules []string
		for _, r := range p.Rules {
			rules = append(rules, l.Say(r))
		}
		slices.Sort(rules)
		from, to := words.FromTo(l.Units, p.From, p.To, l.Number)
		return fmt.Sprintf("%s V; Kabel von %s bis %s (%s); %s bis %s; jede steht im Anhang (%s)",
			l.Number(p.Supply, words.AsNeeded), from, to,
			strings.Join(rules, "; "), milli(p.CurrentFrom), milli(p.CurrentTo),
			strings.TrimPrefix(l.Say(p.Annex), "Anhang: ")), true
	case words.FedBy:
		text := l.run(p.Row.Length) + " mit " + l.conductor(p.Row.Conductor)
		if p.Row.After != "" {
			text += fmt.Sprintf(", nach %s, davor %s V verloren", p.Row.After, l.Number(p.Row.Before, 2))
		}
		return text, true
	case words.AlikeZones:
		return "Linien " + zones(p.Of), true
	case words.AlikePoints:
		return words.Runs(p.Of), true
	}
	return "", false
}
