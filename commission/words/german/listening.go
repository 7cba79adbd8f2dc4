package german

import (
	"loopwitness/commission/words"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

var (
	germanWays = map[signal.Way]string{
		signal.OverMQTT:   "Nachrichten der Zentrale über MQTT",
		signal.ByWatching: "Anzeige der Zentrale, vom Techniker beobachtet",
		signal.Simulated:  "simulierte Zentrale",
		signal.OverHook:   "Aufrufe der Zentrale über HTTP (Webhook)",
		signal.Several:    "mehrere Wege zugleich",
		signal.ByPolling:  "Antworten der Zentrale über HTTP (Abfrage)",
	}
	germanTimings = map[signal.Timing]string{
		signal.ByComputer: "vom Computer, von der Aufforderung bis zum Eingang der Nachricht",
		signal.ByHand:     "von Hand: Tastendruck, als die Anzeige wechselte",
		signal.BySeed:     "simuliert: Verzögerungen sind aus einem Startwert gezogen, nicht gemessen",
		signal.BySimulatedTime: "simuliert: Auch die Zeit war simuliert, Verzögerungen sind aus einem Startwert " +
			"gezogen, nicht gemessen",
	}
	germanAspects = map[signal.Aspect]string{
		signal.Setting:      "Austrittsverzögerung läuft",
		signal.Set:          "scharf",
		signal.Entering:     "Eintrittsverzögerung läuft",
		signal.Alarm:        "Alarm",
		signal.Confirmed:    "bestätigter Alarm",
		signal.MainsFault:   "Netzausfall",
		signal.BatteryFault: "Akkustörung",
	}
	germanStops = map[record.Stop]string{
		record.StopByTechnician: "der Techniker",
		record.StopAsked:        "das Ende des Programms wurde verlangt",
		record.StopByError:      "ein Fehler",
		record.StopUnpaused:     "das Programm endete ohne Unterbrechung",
	}
)

// ofListening says how signals are received, and why a run ended.
func (Language) ofListening(p words.Phrase) (string, bool) {
	switch p := p.(type) {
	case signal.Way:
		return germanWays[p], germanWays[p] != ""
	case signal.Timing:
		return germanTimings[p], germanTimings[p] != ""
	case signal.Aspect:
		return germanAspects[p], germanAspects[p] != ""
	case record.Stop:
		return germanStops[p], germanStops[p] != ""
	}
	return "", false
}
