package german

import (
	"loopwitness/commission/words"

	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// ofFound says what is asked of an existing system, and how it was found.
func (l Language) ofFound(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case words.Heading:
		return germanFoundHeadings[p], germanFoundHeadings[p] != ""
	case words.Column:
		return germanFoundColumns[p], germanFoundColumns[p] != ""
	case words.Note:
		return germanFoundNotes[p], germanFoundNotes[p] != ""
	case words.FoundText:
		if word := germanToldWords[ask.ToldWord(p.Text)]; p.Key == programme.ToldReal && word != "" {
			return word, true
		}
		if wiring := germanWirings[site.Wiring(p.Text)]; p.Key == wiringKey && wiring != "" {
			return wiring, true
		}
		return named(l.foundValue(p)), true
	case words.KeyOf:
		return keyName(string(p)), true
	case site.Group:
		return germanGroups[p], germanGroups[p] != ""
	case record.How:
		return germanHows[p], true
	case programme.WiringName:
		return germanWirings[site.Wiring(p)], germanWirings[site.Wiring(p)] != ""
	case judge.NotKnown:
		text := "nicht bekannt, und nichts wurde an seiner Stelle angenommen: " + listOfKeys(p.Keys)
		if slices.Contains(p.Keys, wiringKey) {
			text += "; die Schleife lässt sich so mit nichts vergleichen"
		}
		return text, true
	case judge.TakenAs:
		return "die Objektdatei sagt es nicht, und niemand wurde gefragt; angenommen, dass der Akku " +
			"direkt am Ladegerät liegt: " +
			plainKeys(p.Keys), true
	case words.FoundLoop:
		if p.Open {
			return l.Say(words.OpenLoop{}), true
		}
		return l.quantity(p.Typed), true
	case judge.NotToldOf:
		return "niemand wusste: " + listOfKeys(p.Keys), true
	case judge.BeyondExtent:
		return "dieser Termin galt anderen Meldern; ausgelassen: " + points(p.Of), true
	case judge.ExtentNotSaid:
		return "es wurde nicht gesagt, welche Melder betroffen sind", true
	case ask.ToldValue:
		return germanToldQuestions[p.Key], true
	case ask.WhichConcerned:
		return "Welche Melder sind betroffen (ihre Nummern)? Sie kommen zuerst. Nichts, wenn keiner im Besonderen",
			true
	case ask.AndTheOthers:
		return fmt.Sprintf("Und die übrigen (%d)?", p.Others), true
	case ask.ToldWord:
		return germanToldWords[p], true
	case ask.Matter:
		if p == ask.UnknownMatter {
			return "Warum lässt es sich nicht feststellen?", true
		}
	case ask.FoundHow:
		return l.Say(p.Step) + ". In der Objektdatei fehlt: " + listOfKeys(p.Keys) + ". Wie wird es " +
			"festgestellt?", true
	case ask.FoundValue:
		return l.Say(p.Step) + ": " + keyName(p.Key), true
	case ask.RatingIn:
		return l.Say(p.Step) + ": Was gibt es ab?", true
	case ask.RestingLoop:
		return l.Say(p.Step) + ": Schleifenwiderstand, von der Zentrale abgeklemmt, alles daran in Ruhe; " +
			"nichts, wenn er sich nicht messen lässt", true
	case ask.Choice:
		return germanFoundChoices[p], germanFoundChoices[p] != ""
	case ask.Advice:
		if p == ask.FoundAdvice {
			return "Nichts, wenn es sich nicht feststellen lässt: Das ist eine Einschränkung, und nichts wird " +
				"dafür angenommen", true
		}
	}
	return "", false
}

const wiringKey = "zones[].wiring"

var germanWirings = map[site.Wiring]string{
	site.NormallyClosed:   "Öffner",
	site.NormallyOpen:     "Schließer",
	site.OneResistor:      "ein Widerstand",
	site.TwoResistors:     "zwei Widerstände",
	site.ParallelResistor: "Widerstand parallel",
	site.ThreeResistors:   "drei Widerstände",
	site.WiringUnknown:    "nicht bekannt",
}

var germanFoundHeadings = map[words.Heading]string{
	words.FoundHeading: "Am Objekt festgestellt, nicht aus der Objektdatei",
	words.ToldHeading:  "Wie es berichtet wurde",
}

var germanFoundNotes = map[words.Note]string{
	words.FoundNote: "Was hier steht, gilt, als stünde es in der Objektdatei. Was nicht festzustellen war, ist " +
		"eine Einschränkung: Nichts wurde dafür angenommen.",
	words.UnheldNote: "Eine Schleife mit unbekannter Verdrahtung steht, wie sie gemessen wurde: Sie wird mit " +
		"nichts verglichen.",
}

var germanFoundColumns = map[words.Column]string{
	words.PartColumn: "Teil", words.KeyColumn: "Was", words.HowColumn: "Wie",
}

var germanGroups = map[site.Group]string{
	site.GroupController: "Zentrale, Typenschild",
	site.GroupAdapter:    "Netzteil, Typenschild",
	site.GroupCharger:    "Was den Akku lädt",
	site.GroupForm:       "Wie der Akku in der Versorgung liegt",
	site.GroupBattery:    "Akku, Aufschrift",
	site.GroupWiring:     "Verdrahtung der Linie",
	site.GroupCable:      "Kabel der Linie",
	site.GroupPowered:    "Versorgung des Melders",
	site.GroupOutput:     "Stromaufnahme des Ausgangs",

	programme.GroupHistory: "Herkunft der Anlage",
	programme.GroupEvent:   "Was geschah",
	programme.GroupCause:   "Was es war und was daraus wurde",
}

// germanFoundWords are words of the site file, behind their keys.
var germanFoundWords = map[string]string{
	"outputs[].own_battery yes":     "ja",
	"outputs[].own_battery no":      "nein",
	"supply.battery.form direct":    "direkt am Ladegerät",
	"supply.battery.form converter": "hinter einem Wandler",
	"supply.battery.form inline":    "Akkupack",
}

// foundValue is a value as it was found; what somebody told stands as typed.
func (l Language) foundValue(p words.FoundText) string {
	if strings.HasPrefix(p.Key, "history.") || strings.HasPrefix(p.Key, "event.") {
		return p.Text
	}
	if said := germanFoundWords[p.Key+" "+p.Text]; said != "" {
		return said
	}
	if day := l.day(p.Text); day != p.Text {
		return day
	}
	return l.quantity(p.Text)
}

// foundName is what a step is called at which something of a part is found.
func (l Language) foundName(n programme.Name) string {
	text := l.Say(n.Group)
	switch {
	case n.Detector != nil:
		return text + ": " + l.Say(*n.Detector)
	case n.Zone != nil:
		return text + ": " + l.Say(*n.Zone)
	case n.Output != "":
		return text + ": " + named(n.Output)
	}
	return text
}

var germanHows = map[record.How]string{
	record.FromPlate: "vom Typenschild", record.FromPapers: "aus übergebenen Unterlagen",
	record.ByMeter: "hier gemessen", record.ByWord: "mündliche Angabe",
}

var germanFoundChoices = map[ask.Choice]string{
	ask.CannotKnowChoice:  "nichts davon feststellbar, mit Grund",
	ask.DirectChoice:      "Gleichstrom, in A",
	ask.AlternatingChoice: "Wechselstrom, den die Zentrale gleichrichtet, in VA",
	ask.TestThemChoice:    "sie werden auch geprüft",
	ask.LeaveThemChoice:   "sie werden ausgelassen, mit Grund; ihre Liste ist eine Einschränkung",
	ask.YesChoice:         "ja, sie läuft mit eigenem Akku",
	ask.NoChoice:          "nein",
}

// keyName is what a key of the site file is of a part, in a few words.
func keyName(key string) string {
	if name := germanFoundKeys[key]; name != "" {
		return name
	}
	return key
}

func listOfKeys(keys []string) string {
	var names []string
	for _, k := range keys {
		names = append(names, keyName(k))
	}
	return strings.Join(names, "; ")
}

var germanToldQuestions = map[string]string{
	"history.by":   "Wer hat die Anlage errichtet, soweit bekannt?",
	"history.when": "Wann wurde sie errichtet, und was wurde seitdem erneuert?",
	"history.disconnected": "Was wurde abgeklemmt, überbrückt oder ausgeschaltet vorgefunden? Sagen Sie auch, " +
		"wenn nichts",
	"history.cable": "Was ist über das Kabel bekannt: Alter, Verlauf, was davon war schon da?",
	"event.told":    "Was geschah, wie es berichtet wurde?",
	"event.when":    "Wann war es, nach wessen Wort oder Uhr?",
	"event.log": "Was zeigt der Ereignisspeicher der Zentrale davon: welche Melder, in welcher " +
		"Reihenfolge, wann?",
	"event.real":  "Was war es?",
	"event.cause": "Welche Ursache wurde gefunden, und wie? Sagen Sie auch, wenn keine",
	"event.done":  "Was war beschädigt, und was wurde behoben?",
	"event.false_alarms": "Wie viele Falschalarme zeigt der Ereignisspeicher seit dem letzten Termin, diesen " +
		"eingeschlossen?",
	"event.informed": "Wer wurde davon und vom Befund unterrichtet?",
}

var germanToldWords = map[ask.ToldWord]string{
	programme.RealAlarm: "ein echter Alarm", programme.FalseAlarm: "ein Falschalarm",
	programme.Failure:   "ein Versagen der Anlage",
	programme.Undecided: "nicht zu klären",
}

var germanFoundKeys = map[string]string{
	"history.by":           "Errichter",
	"history.when":         "wann, und was erneuert wurde",
	"history.disconnected": "abgeklemmt vorgefunden",
	"history.cable":        "Bekanntes über das Kabel",
	"event.told":           "wie berichtet",
	"event.when":           "wann",
	"event.log":            "Ereignisspeicher der Zentrale",
	"event.real":           "was es war",
	"event.cause":          "Ursache",
	"event.done":           "Schaden, und was behoben wurde",
	"event.false_alarms":   "Falschalarme seit dem letzten Termin",
	"event.informed":       "wer unterrichtet wurde",

	"controller.current":         "Eigenstromaufnahme",
	"controller.detector_output": "Höchststrom der Melderversorgung",
	"controller.alarm_output":    "Höchststrom der Ausgänge für Sirenen und Blitzleuchten",
	"supply.adapter.rating":      "Nennwert",
	"supply.adapter.voltage":     "Spannung",
	"supply.charger.voltage":     "Ladespannung",
	"supply.charger.current":     "höchster Ladestrom",
	"supply.battery.form": "ob er direkt am Ladegerät liegt, hinter einem Wandler oder " +
		"in einem Akkupack",
	"supply.battery.cells":                     "Zellen in Reihe",
	"supply.battery.capacity":                  "Kapazität",
	"supply.battery.energy":                    "Energie des Akkupacks",
	"supply.battery.output":                    "Ausgangsspannung des Wandlers",
	"supply.battery.fitted":                    "Einbautag",
	string(words.FoundLoopKey):                 "Schleife, wie gemessen",
	"zones[].wiring":                           "wie Kontakte und Widerstände verbunden sind",
	"zones[].end_of_line":                      "Abschlusswiderstand",
	"zones[].contact_resistor":                 "Widerstand an jedem Kontakt",
	"zones[].fault_resistor":                   "dritter Widerstand, über dem Störungs- oder Sabotagekontakt",
	"zones[].cable.length":                     "Kabellänge, einfach",
	"zones[].cable.conductor":                  "Leiterquerschnitt des Kabels",
	"zones[].detectors[].powered.current":      "Stromaufnahme",
	"zones[].detectors[].powered.minimum":      "kleinste Betriebsspannung",
	"zones[].detectors[].powered.cable_length": "Länge des Speisekabels, einfach",
	"zones[].detectors[].powered.conductor":    "Leiterquerschnitt dieses Kabels",
	"outputs[].current":                        "Strom im eingeschalteten Zustand",
	"outputs[].own_battery":                    "ob sie mit eigenem Akku läuft",
}
