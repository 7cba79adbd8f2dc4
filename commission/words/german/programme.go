package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// ofProgramme says what steps, stages, zones and detectors are called.
func (l Language) ofProgramme(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case programme.Name:
		return l.stepName(p), true
	case programme.ZoneName:
		return fmt.Sprintf("Linie %d, %s", p.Number, named(p.Name)), true
	case programme.DetectorName:
		return l.detectorName(p), true
	case programme.Operating:
		return germanOperating[p.Kind], true
	case programme.Restoring:
		return germanRestoring[p.Kind], true
	case programme.Hint:
		return l.hint(p), true
	case programme.Stage:
		return cmp.Or(germanStages[p], string(p)), true
	case programme.VisitKind:
		return germanVisits[p], germanVisits[p] != ""
	case programme.Role:
		return cmp.Or(germanRoles[p], string(p)), true
	case programme.ItemCode:
		return germanItem(p), germanItem(p) != ""
	}
	return "", false
}

var germanStages = map[programme.Stage]string{
	programme.StageCables:     "Kabel",
	programme.StageInspection: "Sichtprüfung",
	programme.StageWalkTest:   "Gehtest",
	programme.StageSupply:     "Versorgung",
	programme.StageOutputs:    "Ausgänge",
	programme.StageAlarm:      "Alarm",
	programme.StageHandOver:   "Übergabe",
	programme.StageSignOff:    "Unterschriften",
}

var germanRoles = map[programme.Role]string{programme.Technician: "Techniker", programme.Customer: "Kunde"}

var germanVisits = map[programme.VisitKind]string{
	programme.Handover:    "Übergabe",
	programme.Maintenance: "Wartung",
	programme.Retest:      "Nachprüfung nach Reparatur",
	programme.TakeOver:    "Übernahme einer bestehenden Anlage",
	programme.AfterAlarm:  "Termin nach einem Alarm",
}

func (l Language) detectorName(d programme.DetectorName) string {
	name := briefly(d) + " (" + l.Say(d.Zone) + ")"
	if d.OnStandby {
		name += ", im Notbetrieb"
	}
	return name
}

// briefly is a detector where its zone need not be named.
func briefly(d programme.DetectorName) string { return string(d.Point) + " " + named(d.Name) }

// germanSupplySteps are the steps of the supply that have their own names.
var germanSupplySteps = map[string]string{
	programme.IDVoltmeter:      "Voltmeter, mit dem die Versorgung gemessen wird",
	programme.IDMainsPresent:   "Versorgungsspannung, Netz vorhanden",
	programme.IDMainsOff:       "Netzteil ausstecken oder seine Steckdose ausschalten; keine Netzinstallation öffnen",
	programme.IDPath:           "Ist auch der Router oder das Gateway auf dem Meldeweg aus dem Objekt ohne Netzspannung?",
	programme.IDAlarmLoad:      "Versorgungsspannung, Netz weg, alle Ausgänge ein",
	programme.IDMainsOn:        "Netzteil wieder einstecken",
	programme.IDMainsBack:      "Versorgungsspannung, Netz wieder da",
	programme.IDCharged:        "Wurde der Akku ohne Unterbrechung geladen?",
	programme.IDStandbyCurrent: "Strom der ganzen Anlage, Netz weg, in Ruhe",
	programme.IDAlarmCurrent:   "Strom der ganzen Anlage, Netz weg, alle Ausgänge ein",
	programme.IDCharging:       "Versorgungsspannung, einige Zeit nach Rückkehr des Netzes",
	programme.IDRestart:        "Kaltstart: alle Versorgung aus und wieder ein, und die Zeit, bis die Zentrale meldet",
}

func (l Language) stepName(n programme.Name) string {
	if text := germanSupplySteps[n.ID] + germanFaultSteps[n.ID]; text != "" {
		return text
	}
	switch n.Kind {
	case programme.StepCheck:
		text := n.Text
		if text == "" {
			text = l.Say(n.Item)
		}
		if n.Detector != nil { // it is of what is looked at there
			return briefly(*n.Detector) + ": " + text
		}
		return text
	case programme.StepDetector:
		return l.Say(*n.Detector)
	case programme.StepOutput:
		return n.Output
	case programme.StepOutstanding:
		return l.outstandingStep(n)
	case programme.StepReading:
		if n.Detector != nil {
			return "Spannung am entferntesten versorgten Melder, Netz weg, alle Ausgänge ein: " + l.Say(*n.Detector)
		}
	case programme.StepChime:
		return fmt.Sprintf("%s bei Linie %d", n.Output, n.Zone.Number)
	case programme.StepExtent:
		return "Welche Melder betroffen sind"
	case programme.StepFound:
		return l.foundName(n)
	case programme.StepSign:
		return "Name (" + l.Say(n.Role) + ")"
	}
	text := "Versorgungsspannung, Netz weg"
	if n.After > 0 {
		text += ", nach " + l.Duration(n.After)
	}
	return text
}

// What a technician does with each kind of detector.
var (
	germanOperating = map[site.DetectorKind]string{
		"door":            "Tür öffnen",
		"window":          "Fenster öffnen",
		"motion":          "quer durch das Sichtfeld gehen",
		"glass-break":     "das für diesen Melder gebaute Prüfgerät benutzen",
		"hold-up":         "Überfalltaster drücken",
		"tamper":          "Deckel abheben",
		"smoke":           "Prüfrauch geben, wie der Hersteller es angibt",
		"carbon-monoxide": "Prüfgas geben, wie der Hersteller es angibt",
		"flood":           "Fühler mit einem feuchten Tuch überbrücken",
		"other":           "Melder betätigen",
	}
	germanRestoring = map[site.DetectorKind]string{
		"door":            "Tür schließen",
		"window":          "Fenster schließen",
		"motion":          "das Sichtfeld verlassen oder stillstehen",
		"glass-break":     "Prüfgerät ausschalten und den Melder zur Ruhe kommen lassen",
		"hold-up":         "Taster zurückstellen",
		"tamper":          "Deckel wieder aufsetzen",
		"smoke":           "Rauch entfernen und den Melder zurückstellen lassen",
		"carbon-monoxide": "Gas entfernen und den Melder zurückstellen lassen",
		"flood":           "Fühler trocknen",
		"other":           "in Ruhe bringen",
	}
)

func (l Language) hint(h programme.Hint) string {
	for _, ohm := range []*string{&h.EndOfLine, &h.ContactResistor, &h.FaultResistor} {
		*ohm = cmp.Or(l.quantity(*ohm), "nicht bekannt")
	}
	switch h.Wiring {
	case site.NormallyClosed:
		return "Öffner (NC): Betätigen öffnet die Schleife"
	case site.NormallyOpen:
		return "Schließer (NO): Betätigen schließt die Schleife"
	case site.OneResistor:
		return "ein Abschlusswiderstand, " + h.EndOfLine + ": Betätigen öffnet die Schleife"
	case site.ParallelResistor:
		return "Widerstand am Ende, " + h.EndOfLine + ", Kontakte parallel dazu: Betätigen schließt die Schleife kurz"
	case site.WiringUnknown:
		return "Verdrahtung nicht bekannt"
	case site.ThreeResistors:
		return "Abschluss " + h.EndOfLine + ", Kontakt " + h.ContactResistor + ", Störung " + h.FaultResistor +
			": Betätigen schaltet den Widerstand am Kontakt dazu"
	}
	return "Abschluss " + h.EndOfLine + ", Kontakt " + h.ContactResistor +
		": Betätigen schaltet den Widerstand am Kontakt dazu"
}
