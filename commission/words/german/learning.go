package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/ask"
)

var (
	germanLearning = map[ask.LearningMatter]string{
		ask.OpenNext:      "Gehen Sie durch das Objekt und öffnen Sie alles einmal",
		ask.ThingName:     "Was haben Sie geöffnet? Geben Sie ihm einen Namen",
		ask.ThingKind:     "Was ist es?",
		ask.ThingLocation: "Wo ist es?",
		ask.ZoneOfSeveral: "Ein Name für die Linie, da sie nun mehrere Melder hat",
		ask.OneAtATimeAdvice: "Eines nach dem anderen; schließen Sie es, bevor Sie das nächste öffnen: Sind " +
			"zwei an einer Linie zugleich offen, wird nur das erste gemeldet.",
		ask.OnTestAdvice: "Eine aufgeschaltete Anlage muss zuerst auf Test geschaltet sein. Lassen Sie " +
			"Überfallmelder und alles, was Brand oder Gas meldet, bis dahin in Ruhe.",
		ask.FindAdvice: "damit es sich wiederfinden lässt: Ladentür, Fenster über Scheibe 1; back vergisst es",
	}
	germanLearningChoices = map[ask.LearningChoice]string{
		ask.SameChoice:    "eines von diesen, noch einmal",
		ask.FurtherChoice: "ein weiterer Melder",
		ask.OtherKind:     "ein weiterer, andere Art",
		ask.AllChoice:     "das sind alle: nicht mehr fragen",
		ask.BackChoice:    "zurück",
	}
)

// ofLearning says what is told and asked while a site is learnt.
func (l Language) ofLearning(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case ask.LearningMatter:
		return germanLearning[p], true
	case ask.LearningChoice:
		return germanLearningChoices[p], true
	case ask.ThingAgain:
		return fmt.Sprintf("%s meldet wieder: %s, mit %s", words.Brief(p.Address), l.Say(words.Named(p.Zone)),
			strings.Join(l.named(p.Detectors), ", ")), true
	case ask.AddressReports:
		text := fmt.Sprintf("%s meldet: %s", words.Brief(p.Address), germanStates[p.State])
		if p.Raw != "" {
			text += " (" + germanQuotes.Readable(p.Raw, "nichts") + ")"
		}
		return text, true
	case ask.ZoneReportsAgain:
		return fmt.Sprintf("%s meldet: %s", words.Brief(p.Address), l.Say(words.Named(p.Zone))), true
	case ask.AddressGarbled:
		return fmt.Sprintf("%s sagt %s; das kennt controller.yaml nicht", words.Brief(p.Address),
			germanQuotes.Readable(p.Raw, "nichts")), true
	case ask.Learnt:
		text := fmt.Sprintf("%s ist: %s, %s", words.Brief(p.Address), l.Say(words.Named(p.Detector)), l.Say(p.Kind))
		if p.Zone != p.Detector {
			text += ", an " + l.Say(words.Named(p.Zone))
		}
		return text, true
	case ask.Forgotten:
		return fmt.Sprintf("zurückgenommen: %s; öffnen Sie es wieder, um es neu zu "+
			"benennen", l.Say(words.Named(p.Detector))), true
	case ask.NothingToForget:
		return "noch nichts eingelernt", true
	case ask.NothingHeard:
		return fmt.Sprintf("In %s kam keine einzige Nachricht. Sehen Sie nach, was kommt: loopwitness listen. "+
			"Prüfen Sie Broker, Benutzer und Topics in controller.yaml, und ob die Zentrale verbunden "+
			"ist.", l.Duration(p.For)), true
	case ask.LearningStatus:
		return fmt.Sprintf("eingelernt: %d %s, %d %s", p.Zones, plural(p.Zones, "Linie", "Linien"), p.Detectors,
			plural(p.Detectors, "Melder", "Melder")), true
	}
	return "", false
}

func (l Language) named(texts []string) []string {
	var all []string
	for _, text := range texts {
		all = append(all, l.Say(words.Named(text)))
	}
	return all
}
