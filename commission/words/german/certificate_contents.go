package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

var germanContentLabels = map[words.Label]string{
	words.DesignLabel:     "Geplant von",
	words.AuthorityLabel:  "Zu verständigen",
	words.ControlsLabel:   "Bedienung",
	words.InterfacesLabel: "Verbunden mit",
	words.FittedLabel:     "Eingebaut",
	words.CablesLabel:     "Altkabel",
	words.SiteFileLabel:   "Objektdatei",
	words.KeptLabel:       "Aufbewahrt",
}

var germanContentNotes = map[words.Note]string{
	words.WorkNote: "Geprüft: was betätigt, eingeschaltet oder gemessen wurde, mit dem, was sich ergab. " +
		"Angesehen: was die Listen nennen, wie der Techniker antwortete. Gewartet: nur, was eine Zeile oder " +
		"Bemerkung als repariert, erneuert oder ersetzt nennt.",
	words.OwnZoneNote: "Ein Melder ist durch seine eigene Linie nachgewiesen: Die Zentrale meldete diese Linie, " +
		"als er betätigt wurde, und danach wieder Ruhe. Wo statt seiner eine andere antwortete, steht es dabei.",
}

// germanContentItems are lines of our lists that forms of record ask for.
var germanContentItems = map[programme.ItemCode]string{
	"zone-names": "Die Zentrale, und die Alarmempfangsstelle, wenn es eine gibt, zeigen jede Linie mit ihrem Namen " +
		"aus dieser Aufzeichnung",
	"instruments": "Mit keinem Messgerät wurde gemessen, das diese Aufzeichnung nicht nennt, außer mit denen, die " +
		"daneben stehen, mit Nummer und Kalibrierung",
}

var germanOutputKinds = map[site.OutputKind][2]string{
	site.Sounder: {"Sirene", "Sirenen"}, site.Strobe: {"Blitzleuchte", "Blitzleuchten"}, site.Chime: {"Gong", "Gongs"},
}

// ofContents says what belongs to papers, cables and what is fitted.
func (l Language) ofContents(p words.Phrase) (string, bool) {
	text := ""
	switch p := p.(type) {
	case words.Label:
		text = germanContentLabels[p]
	case words.Note:
		text = germanContentNotes[p]
	case words.Fitted:
		text = l.fitted(p)
	case words.ZoneCable:
		return l.zoneCable(p), true
	case words.CablesReused:
		text = l.cablesReused(p)
	case words.FileHash:
		text = "SHA-256 beginnt mit " + p.Begins + "; in der Aufzeichnung beigefügt"
	case words.InPlaceOf:
		if text = "die erste dieses Termins"; p.Revision > 1 {
			text = fmt.Sprintf("anstelle von Rev. %d", p.Revision-1)
		}
	}
	return text, text != ""
}

func (l Language) fitted(p words.Fitted) string {
	var detectors, outputs []string
	all := 0
	for _, d := range p.Detectors {
		all += d.N
		detectors = append(detectors, fmt.Sprintf("%d × %s", d.N, l.Say(d.Kind)))
	}
	for _, o := range p.Outputs {
		of := germanOutputKinds[o.Kind.(site.OutputKind)]
		outputs = append(outputs, count(o.N, of[0], of[1]))
	}
	text := count(all, "Melder", "Melder") + ": " + strings.Join(detectors, ", ")
	if len(outputs) > 0 {
		text += "; " + strings.Join(outputs, ", ")
	}
	return text
}

func (l Language) zoneCable(c words.ZoneCable) string {
	if c == (words.ZoneCable{}) {
		return ""
	}
	parts := []string{"Kabel"}
	run := named(l.run(c.Length))
	if c.Conductor != "" {
		if run != "" {
			run += " mit "
		}
		run += named(l.conductor(c.Conductor))
	}
	if run != "" {
		parts[0] += " " + run
	}
	if c.Type != "" {
		parts = append(parts, named(c.Type))
	}
	if c.Reused {
		parts = append(parts, "weiterverwendet")
	}
	return strings.Join(parts, ", ")
}

func (l Language) cablesReused(c words.CablesReused) string {
	var parts []string
	for _, of := range []struct {
		zones words.Zones
		what  string
	}{{c.Yes, "ja"}, {c.No, "nein"}, {c.Unsaid, "ohne Angabe"}} {
		if len(of.zones) > 0 {
			parts = append(parts, of.what+": "+plural(len(of.zones), "Linie ", "Linien ")+zones(of.zones))
		}
	}
	return strings.Join(parts, "; ")
}
