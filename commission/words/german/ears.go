package german

import (
	"fmt"

	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

// germanEars are what one of several ways is called in brief.
var germanEars = map[signal.Way]string{signal.OverMQTT: "MQTT", signal.OverHook: "Webhook", signal.ByPolling: "Abfrage"}

// byEar names one of several ways between two texts, "" for none.
func byEar(before string, ear signal.Way, after string) string {
	if ear == "" {
		return ""
	}
	return before + germanEars[ear] + after
}

func germanLost(ear signal.Way) string {
	return "NICHT VERBUNDEN: " + germanEars[ear] + ". Auf diesem Weg ist nichts zu hören; Sie erfahren, wenn die " +
		"Verbindung wieder da ist."
}

func germanBack(ear signal.Way) string { return "Wieder verbunden: " + germanEars[ear] + "; weiter." }

func germanElsewhere(zone int) string {
	return fmt.Sprintf("inzwischen wurde Linie %d auf einem anderen Weg als dem ihren gemeldet; das zählt nicht", zone)
}

func germanHeardElsewhere(n int) string {
	return fmt.Sprintf("wurde %s auf einem anderen Weg als dem ihren gemeldet; das wurde nicht gezählt",
		count(n, "Mal", "Mal"))
}

// germanOfZones are the zones of one of several ways, "" for all.
func germanOfZones(zones []int) string {
	if len(zones) == 0 {
		return ""
	}
	return " " + plural(len(zones), "der Linie ", "der Linien ") + words.Runs(zones)
}

func germanOfEither(zones []int) string {
	return fmt.Sprintf(
		"%s%s können mehrere dieser Wege melden: Dort zählt der erste, der es in einem Lauf tat; bis dahin "+
			"sind Zeiten so genau bekannt, wie der ungenaueste sie kennt.",
		plural(len(zones), "Linie ", "Die Linien "),
		words.Runs(zones),
	)
}
