package german

import (
	"loopwitness/commission/words"

	"cmp"
	"fmt"
	"strings"

	"loopwitness/commission/judge"
	"loopwitness/commission/site"
)

var germanSeverities = map[judge.Severity]string{
	judge.Danger: "Gefahr: sofort handeln", judge.Fault: "offen: zu beheben oder zu prüfen",
	judge.Advice: "Hinweis: wissenswert",
}

// germanRemedies say what to do, as one sentence without its stop.
var germanRemedies = map[judge.Remedy]string{
	judge.StopCharging: "Laden sofort beenden und den Akku abklemmen; Ladegerät und Akku einbauen, die zusammengehören",
	judge.PutRight:     "beheben und erneut prüfen",
	judge.TestIt:       "prüfen",
	judge.TimeIt: "noch einmal auf Aufforderung oder mit Berührung betätigen, wo es darauf ankommt, wie " +
		"schnell er meldet",
	judge.MeasureIt:      "messen oder beobachten, mit einem Messgerät, das genau genug ist",
	judge.ReadAgain:      "noch einmal ablesen oder die Kapazität des Akkus durch eine Entladeprüfung nachweisen",
	judge.RenewBattery:   "Akku erneuern und den alten nach den örtlichen Regeln entsorgen",
	judge.SizeSupply:     "größeres Netzteil oder größeren Akku einbauen oder weniger Strom entnehmen",
	judge.ShortenRun:     "dickeres Kabel nehmen, Adern doppeln oder in der Nähe speisen",
	judge.DeclareIt:      "in die Objektdatei schreiben",
	judge.CorrectMap:     "controller.yaml berichtigen",
	judge.LowerRisk:      "mit dem Kunden vereinbaren, wie dieses Risiko verringert wird",
	judge.GetCalibrated:  "Messgerät kalibrieren lassen",
	judge.AgreeIt:        "mit dem Kunden vereinbaren",
	judge.RestoreNow:     "Netz jetzt wiederherstellen",
	judge.SeeOtherVisit:  "zusammen mit dem Termin lesen, auf den er folgt",
	judge.FollowFireCode: "das Übrige prüfen lassen, wie es die Brandschutzvorschrift verlangt",
	judge.TakeInEarnest:  "den Termin an der Anlage durchführen",
	judge.FitResistor:    "Abschlusswiderstand einbauen, wenn die Zentrale ihn auswerten kann, oder es dem Kunden sagen",
	judge.AskMaker:       "beim Hersteller des Akkus erfragen, an welcher Spannung er jahrelang liegen darf",
	judge.CompareClocks:  "noch einmal Alarm auslösen und die Alarmempfangsstelle fragen, was ihre Uhr dabei zeigt",
	judge.PutBack:        "seine Datei zurücklegen oder das Foto zurücknehmen und neu bescheinigen",
	judge.CheckPower: "Umschaltung der Versorgung der Zentrale und Versorgung des Routers ansehen und noch einmal " +
		"versuchen",
	judge.ExplainIt: "nicht darauf verlassen, bevor es erklärt hat, wer die Aufzeichnung gemacht hat",
	judge.LookAhead: "Ursache suchen und beheben, bevor es ausfällt",
	judge.NoRemedy:  "nichts zu tun",

	judge.TakeNextTime: "bei einem späteren Termin nehmen, zuerst die, deren Nachweis am längsten zurückliegt",
	judge.TakeReading:  "messen",
	judge.LoadTest: "Klemmen und Sicherung prüfen, Akku unter Last prüfen und ihn erneuern, wenn sich das " +
		"bestätigt",
	judge.DoIt:        "nachholen oder beantworten",
	judge.TakeOffTest: "Alarmempfangsstelle anrufen und die Anlage jetzt vom Test nehmen lassen",
	judge.ReadEarlier: "sein Journal aus einer Kopie zurücklegen und zusammen mit dieser Prüfbescheinigung lesen",
}

var germanFormWords = map[site.Form]string{
	site.Direct: "direkt am Ladegerät", site.Converter: "hinter einem Wandler", site.Inline: "Akkupack",
}

// ofSeverity says how grave findings are and what to do about them.
func (l Language) ofSeverity(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case judge.Severity:
		return germanSeverities[p], germanSeverities[p] != ""
	case judge.Remedy:
		return germanRemedies[p], germanRemedies[p] != ""
	case judge.Terminal:
		return germanTerminals[p], germanTerminals[p] != ""
	case site.Form:
		return cmp.Or(germanFormWords[p], string(p)), p != ""
	case judge.NotComputed:
		return l.notComputed(p), true
	case judge.StillOnTest:
		return "die Anlage ist vielleicht noch auf Test: Niemand würde reagieren", true
	case judge.Unwatched:
		var zones []string
		for _, z := range words.FewZones(p.Zones) {
			zones = append(zones, l.Say(z))
		}
		return "ein durchtrenntes Kabel sieht für die Zentrale wie Ruhe aus, und niemand erfährt davon: " +
			strings.Join(zones, "; "), true
	case judge.FloatDisputed:
		return l.Number(p.PerCell, 2) + " V je Zelle laden ihn; ob er so jahrelang liegen darf, ist strittig", true
	case judge.RestsOnDefaults:
		return l.restsOnDefaults(p), true
	case judge.LimitsAssumed:
		return "niemand hat dies angegeben, Übliches wurde angenommen: " + plainKeys(p.Keys), true
	case judge.PowerUnknown:
		return "ihre Art braucht Strom, aber die Objektdatei sagt nicht, wie viel: " + points(p.Of), true
	case judge.NoOutput:
		return "keine Sirene ist beschrieben: Nichts im Objekt zeigt einen Alarm an", true
	case judge.NoCentre:
		return "die Objektdatei sagt nicht, wer die Alarme empfängt", true
	case judge.NoVoltmeter:
		return "kein Voltmeter war zur Hand: Keine Spannung wurde gemessen", true
	case judge.SwitchOverUnseen:
		return "ob die Zentrale beim Wegfall des Netzes weiterläuft, wurde nicht beobachtet: Innerhalb einer Minute " +
			"danach wurde der Termin unterbrochen, oder dieser Computer schlief", true
	case judge.ReportingInterrupted:
		return "die Meldungen waren für " + seconds(p.For) + " unterbrochen, während das Netz weg war", true
	case judge.SwitchOverLost:
		return "die Meldungen blieben " + seconds(p.After) + " nach dem Trennen des Netzes aus, " +
			"obwohl laut Angabe nichts auf ihrem Weg das Netz braucht", true
	}
	return "", false
}

// germanComputations name what was not computed, by the row's code.
var germanComputations = map[string]string{
	"adapter": "Belastung des Netzteils", "output-limit": "Belastung der Ausgänge der Zentrale",
	"charger": "ob Ladegerät und Akku zusammenpassen", "recharge": "Dauer des Nachladens",
	"standby": "Dauer des Notbetriebs", "energy": "Dauer des Notbetriebs", "drop": "Spannung",
	"charging": "ob der Akku geladen wird", "internal": "Widerstand des Akkus gegen seinen ersten Wert",
	"sag": "Akku ohne Netz", "system": "Stromaufnahme der ganzen Anlage im Notbetrieb",
	"system-alarm": "Stromaufnahme der ganzen Anlage bei Alarm", "far": "Spannung am entferntesten Melder",
	"age": "Alter des Akkus", "current": "Stromaufnahme eines Ausgangs", "level": "Schallpegel",
	"together": "Sirenen zusammen", "loop": "was ein Schleifenwert bedeutet", "continuity": "Durchgang eines Kabels",
	"insulation": "Isolation eines Kabels", "cut-off": "Abschaltzeit", "margin": "Schallpegel gegen den der Umgebung",
}

// computation names a row by its code, and the detectors that it is about.
func computation(row string, of []site.Point) string {
	if len(of) == 0 {
		return germanComputations[row]
	}
	return germanComputations[row] + " an " + points(of)
}

func (l Language) restsOnDefaults(p judge.RestsOnDefaults) string {
	var rows []string
	for _, r := range p.Rows {
		rows = append(rows, computation(r.Row, r.Of))
	}
	return "nur mit üblichen Werten eingehalten, die niemand angegeben hat (" + plainKeys(p.Keys) + "): " +
		strings.Join(rows, "; ")
}

func (l Language) notComputed(p judge.NotComputed) string {
	return "nicht beurteilt: " + computation(p.Row, p.Of) + "; " + l.lacking(p.Lacks)
}

// points lists detectors, at most a dozen.
func points(of []site.Point) string {
	const most = 12
	var texts []string
	for i, p := range of {
		if i == most {
			return fmt.Sprintf("%s und %d weitere", strings.Join(texts, ", "), len(of)-most)
		}
		texts = append(texts, string(p))
	}
	return strings.Join(texts, ", ")
}
