package words

import (
	"strings"

	"loopwitness/commission/site"
)

// englishPlainKeys are what keys of the site file are, where no part is named beside them: a certificate is read by those
// who never saw that file.
var englishPlainKeys = map[string]string{
	"outputs[].own_battery":      "whether sounders and strobes have batteries of their own",
	"outputs[].frequency":        "frequency that a sounder sounds at",
	"supply.battery.form":        "how the battery stands in the supply",
	"supply.battery.cells":       "number of the battery's cells",
	"supply.battery.capacity":    "capacity of the battery",
	"supply.battery.energy":      "energy of the pack",
	"supply.battery.output":      "voltage that the battery's converter gives",
	"supply.battery.fitted":      "day on which the battery was fitted",
	"supply.battery.life":        "service life of the battery by its maker",
	"supply.battery.exponent":    "the battery's exponent (Peukert)",
	"supply.battery.hour_rating": "hours by which the battery's capacity is rated",
	"supply.battery.efficiency":  "efficiency of the battery's converter",
	"supply.battery.resistance":  "first resistance of the battery",
	"supply.battery.chemistry":   "kind of the battery",
	"supply.standby.ageing":      "what the battery loses with age",
	"supply.standby.for":         "required standby",
	"supply.standby.alarm_for":   "required alarm time",
	"supply.recharge.to":         "how far it has to be recharged",
	"supply.recharge.within":     "time to recharge",
	"supply.temperature":         "temperature of supply and battery",
	"supply.loads":               "what else the supply feeds",
	"supply.adapter.rating":      "rating of the adapter",
	"supply.adapter.voltage":     "voltage of the adapter",
	"supply.charger.voltage":     "voltage of the charger",
	"supply.charger.current":     "current of the charger",
	"controller.current":         "current that the controller draws",
	"controller.detector_output": "the most that the output for detectors gives",
	"controller.alarm_output":    "the most that the outputs for sounders give",
	"controller.description":     "controller",
	"controller.software":        "its software",
	"zones[].tolerance":          "tolerance of the zones' resistors",
	"limits.response":            "response time",
	"limits.listen_for":          "time to wait for a report",
	"limits.restore":             "time to be restored",
	"limits.steady":              "how long a report has to stand",
	"limits.mains_lower":         "lowest supply voltage with mains",
	"limits.mains_upper":         "highest supply voltage with mains",
	"limits.standby_lower":       "lowest supply voltage without mains",
	"limits.alarm_load_lower":    "lowest supply voltage without mains, all outputs on",
	"setting.exit_time":          "exit delay", "setting.entry_time": "entry delay",
	"setting.sounder_within": "time until the sounder is on", "monitoring.paths[].within": "time to the receiving centre",
	"limits.cold_restart":    "time to start again",
	"monitoring.centre":      "receiving centre",
	"monitoring.path":        "path",
	"monitoring.second_path": "second path",
	"installer.company":      "company",
	"wiring":                 "how contacts and resistors are joined", "end_of_line": "resistor at the end", "kind": "kind",
	"contact_resistor": "resistor at each contact", "fault_resistor": "third resistor", "cut_off": "time until it stops",
	"current": "current", "level": "sound level", "frequency": "frequency", "address": "address",
}

// plainKey is what a key of the site file is, in a few words; the last part of one that ends in a kind of detector is
// that kind.
func plainKey(key string) string {
	if name := englishPlainKeys[key]; name != "" {
		return name
	}
	if i := strings.LastIndex(key, "."); i > 0 && englishPlainKeys[key[:i]] != "" {
		return englishPlainKeys[key[:i]] + " (" + English{}.Say(site.DetectorKind(key[i+1:])) + ")"
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
