package german

import (
	"loopwitness/commission/words"

	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

// Computed is a computed row in German.
func (l Language) Computed(c judge.Computed) words.Row {
	if c.Defaulted { // it holds, but for what is ours: nothing else is to be changed
		c.Ruling = checks.Pass
	}
	row := words.Row{About: l.aboutRow(c.Row), Formula: l.formula(c.Row)}
	if len(c.Missing) > 0 && c.Ruling == "" {
		row.Missing = l.missing(c.Missing)
		return row
	}
	if l.ofCableRow(&row, c) {
		if len(c.Missing) > 0 {
			row.Change = strings.TrimPrefix(row.Change+"; um zu entscheiden: "+l.lacking(c.Missing), "; ")
		}
		return assuming(row, c.Assumed)
	}
	if l.ofSupplyRow(&row, c) {
		if c.Hollow {
			row.Change = "ohne Aussage, solange der Akku nicht intakt und geladen ist"
		}
		if len(c.Missing) > 0 {
			row.Change = "um zu entscheiden: " + l.lacking(c.Missing)
		}
		return assuming(row, c.Assumed)
	}
	switch r := c.Row.(type) {
	case judge.DropRow:
		l.drop(&row, r, c.Ruling)
	case judge.LoopRow:
		l.loop(&row, r, c.Ruling)
	default:
		l.ofOutputs(&row, c)
	}
	if len(c.Missing) > 0 {
		row.Change = "um zu entscheiden: " + l.lacking(c.Missing)
	}
	return assuming(row, c.Assumed)
}

// assuming says which keys of the site file were not given.
func assuming(r words.Row, keys []string) words.Row {
	if len(keys) > 0 {
		r.Change = strings.TrimPrefix(r.Change+"; in die Objektdatei schreiben: "+plainKeys(keys)+"; gerechnet wurde "+
			"mit einem üblichen Wert", "; ")
	}
	return r
}

func (l Language) aboutRow(r judge.Row) string {
	if name := l.aboutCable(r); name != "" {
		return name
	}
	if name := aboutOutput(r); name != "" {
		return name
	}
	if name, ofSupply := aboutSupply(r); ofSupply {
		return name
	}
	switch r := r.(type) {
	case judge.DropRow:
		return "Spannung an " + briefly(r.Detector)
	case judge.LoopRow:
		return fmt.Sprintf("Schleife der Linie %d, gemessen an %s", r.Detector.Zone.Number, r.Detector.Point)
	}
	panic("the German catalogue has no name for the computed row " + r.Code())
}

func (l Language) formula(r judge.Row) string {
	if text := l.cableFormula(r); text != "" {
		return text
	}
	if text := outputFormula(r); text != "" {
		return text
	}
	switch r := r.(type) {
	case judge.DropRow:
		return dropFormula(r)
	case judge.LoopRow:
		return l.loopFormula(r)
	}
	return supplyFormula(r)
}

// germanLacks are what the site file, or the visit, does not give.
var germanLacks = map[judge.LackCode]string{
	judge.LackRating:          "Nennwert des Netzteils",
	judge.LackAdapterVoltage:  "Spannung des Netzteils",
	judge.LackCapacity:        "Kapazität des Akkus",
	judge.LackEnergy:          "Energie oder Kapazität des Akkupacks",
	judge.LackStandbyFor:      "geforderte Notbetriebszeit",
	judge.LackAlarmFor:        "Alarmzeit danach",
	judge.LackCurrent:         "Stromaufnahme:",
	judge.LackChargerVoltage:  "Ladespannung",
	judge.LackChargerCurrent:  "Ladestrom des Ladegeräts",
	judge.LackRecharge:        "Zeit, in der er wieder geladen sein muss",
	judge.LackDetectorOutput:  "Höchststrom des Zentralenausgangs für Melder",
	judge.LackAlarmOutput:     "Höchststrom der Zentralenausgänge für Sirenen",
	judge.LackMinimum:         "Mindestspannung",
	judge.LackLength:          "Kabellänge",
	judge.LackConductor:       "Leiterquerschnitt",
	judge.LackFitted:          "Einbaudatum des Akkus",
	judge.LackFirstResistance: "erster Innenwiderstand des Akkus, wie bei der Übergabe gemessen",
	judge.LackMainsVoltage:    "die Versorgung wurde bei vorhandenem Netz nicht gemessen",
	judge.LackChargingVoltage: "beim Laden wurde nicht noch einmal gemessen",
	judge.LackStandbyVoltage:  "ohne Netz wurde keine Spannung gemessen",
	judge.LackLoadVoltages:    "keine Spannungen im Notbetrieb mit und ohne Sirenen",
	judge.LackSounderAmpere:   "der Strom der Sirenen ist nicht bekannt",
	judge.LackSystemCurrent:   "nicht gemessen",
	judge.LackLoad:            "ein Ausgang, der dazugehört, arbeitete nicht nachweislich",
	judge.LackFarVoltage:      "nicht gemessen",
	judge.LackLevel:           "der Schallpegel wurde nicht gemessen",
	judge.LackAmbient:         "der Umgebungspegel wurde nicht dazu gemessen",
	judge.LackCutOff:          "die Abschaltung wurde nicht beobachtet",
	judge.LackDeclaredLevel:   "Schallpegel der Sirene nach Herstellerangabe, mit Abstand",
	judge.LackDeclaredCutOff:  "Zeit, nach der sie von selbst abschaltet",
	judge.LackZoneCable:       "Länge und Leiterquerschnitt des Kabels der Linie",
	judge.LackResistors:       "Widerstände der Linie",
	judge.LackEndOfLine:       "Abschlusswiderstand der Linie",
	judge.LackOutput:          "Ausgangsspannung des Akkupacks oder Wandlers",
}

func (l Language) lack(k judge.Lack) string {
	switch k.What {
	case judge.LackSense:
		return "die Rechnung lehnt ab: " + quoted(k.Said)
	case judge.LackCurrent:
		var parts []string
		for _, part := range k.Of {
			if part == "" {
				part = "Zentrale"
			}
			parts = append(parts, part)
		}
		return germanLacks[k.What] + " " + strings.Join(parts, " und ")
	}
	return germanLacks[k.What]
}

// missing says why a row could not be computed.
func (l Language) missing(lacks []judge.Lack) string { return "nicht berechnet: " + l.lacking(lacks) }

// lacking says what is missing, and where.
func (l Language) lacking(lacks []judge.Lack) string {
	var file, visit []string
	for _, k := range lacks {
		if k.FromVisit() {
			visit = append(visit, l.Say(k))
		} else {
			file = append(file, l.Say(k))
		}
	}
	if len(file) > 0 {
		visit = append([]string{"in der Objektdatei fehlt: " + strings.Join(file, ", ")}, visit...)
	}
	return strings.Join(visit, "; ")
}

func milli(ampere float64) string {
	return Language{}.Number(ampere*1000, 0) + " mA"
}

func orDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}

// plusMinus prints an expanded uncertainty; zero stands for not stated.
func plusMinus(u float64, unit string) string {
	if u == 0 {
		return "(Unsicherheit nicht angegeben)"
	}
	return "± " + Language{}.Number(u, 2) + " " + unit
}

// assumed is a value, marked where the site file does not give it.
func assumed(a judge.Assumable, unit string) string {
	text := Language{}.Number(a.Value, words.AsNeeded) + unit
	if a.Assumed {
		text += " angenommen"
	}
	return text
}
