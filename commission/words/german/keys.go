package german

import (
	"strings"

	"loopwitness/commission/site"
)

// germanPlainKeys are what keys of the site file are, where no part is named beside them: a certificate is read by those
// who never saw that file.
var germanPlainKeys = map[string]string{
	"outputs[].own_battery":      "ob Sirenen und Blitzleuchten eigene Akkus haben",
	"outputs[].frequency":        "Frequenz einer Sirene",
	"supply.battery.form":        "wie der Akku in der Versorgung liegt",
	"supply.battery.cells":       "Zahl der Zellen des Akkus",
	"supply.battery.capacity":    "Kapazität des Akkus",
	"supply.battery.energy":      "Energie des Akkupacks",
	"supply.battery.output":      "Ausgangsspannung des Wandlers am Akku",
	"supply.battery.fitted":      "Einbautag des Akkus",
	"supply.battery.life":        "Lebensdauer des Akkus laut Hersteller",
	"supply.battery.exponent":    "Exponent des Akkus (Peukert)",
	"supply.battery.hour_rating": "Nennentladezeit des Akkus",
	"supply.battery.efficiency":  "Wirkungsgrad des Wandlers am Akku",
	"supply.battery.resistance":  "erster Widerstand des Akkus",
	"supply.battery.chemistry":   "Art des Akkus",
	"supply.standby.ageing":      "was der Akku durch Alterung verliert",
	"supply.standby.for":         "geforderter Notbetrieb",
	"supply.standby.alarm_for":   "geforderte Alarmzeit",
	"supply.recharge.to":         "wie weit nachgeladen sein muss",
	"supply.recharge.within":     "Zeit zum Nachladen",
	"supply.temperature":         "Temperatur von Versorgung und Akku",
	"supply.loads":               "was die Versorgung sonst noch speist",
	"supply.adapter.rating":      "Nennwert des Netzteils",
	"supply.adapter.voltage":     "Spannung des Netzteils",
	"supply.charger.voltage":     "Spannung des Ladegeräts",
	"supply.charger.current":     "Strom des Ladegeräts",
	"controller.current":         "Stromaufnahme der Zentrale",
	"controller.detector_output": "Höchststrom des Ausgangs für Melder",
	"controller.alarm_output":    "Höchststrom der Ausgänge für Sirenen",
	"controller.description":     "Zentrale",
	"controller.software":        "ihre Software",
	"zones[].tolerance":          "Toleranz der Widerstände der Linien",
	"limits.response":            "Ansprechzeit",
	"limits.listen_for":          "Wartezeit auf eine Meldung",
	"limits.restore":             "Zeit bis zurückgestellt",
	"limits.steady":              "wie lange eine Meldung stehen muss",
	"limits.mains_lower":         "niedrigste Versorgungsspannung mit Netz",
	"limits.mains_upper":         "höchste Versorgungsspannung mit Netz",
	"limits.standby_lower":       "niedrigste Versorgungsspannung ohne Netz",
	"limits.alarm_load_lower":    "niedrigste Versorgungsspannung ohne Netz, alle Ausgänge an",
	"setting.exit_time":          "Austrittsverzögerung", "setting.entry_time": "Eintrittsverzögerung",
	"setting.sounder_within": "Zeit bis zur Sirene", "monitoring.paths[].within": "Zeit bis zur Alarmempfangsstelle",
	"limits.cold_restart":    "Zeit bis zum Wiederanlauf",
	"monitoring.centre":      "Alarmempfangsstelle",
	"monitoring.path":        "Übertragungsweg",
	"monitoring.second_path": "zweiter Übertragungsweg",
	"installer.company":      "Errichter",
	"wiring":                 "wie Kontakte und Widerstände verbunden sind", "end_of_line": "Abschlusswiderstand", "kind": "Art",
	"contact_resistor": "Widerstand an jedem Kontakt", "fault_resistor": "dritter Widerstand",
	"cut_off": "Zeit bis zum Abschalten", "current": "Strom", "level": "Schallpegel", "frequency": "Frequenz",
	"address": "Adresse",
}

// plainKey is what a key of the site file is, in a few words; the last part of one that ends in a kind of detector is
// that kind.
func plainKey(key string) string {
	if name := germanPlainKeys[key]; name != "" {
		return name
	}
	if i := strings.LastIndex(key, "."); i > 0 && germanPlainKeys[key[:i]] != "" {
		return germanPlainKeys[key[:i]] + " (" + Language{}.Say(site.DetectorKind(key[i+1:])) + ")"
	}
	return keyName(key)
}

// plainKeys are several, those of kinds of detectors once: response time (door, smoke).
func plainKeys(keys []string) string {
	var names []string
	for _, key := range keys {
		name := plainKey(key)
		last := len(names) - 1
		if about, kind, is := strings.Cut(name, " ("); is && last >= 0 && strings.HasPrefix(names[last], about+" (") {
			names[last] = strings.TrimSuffix(names[last], ")") + ", " + kind
			continue
		}
		names = append(names, name)
	}
	return strings.Join(names, "; ")
}
