package listen

import (
	"loopwitness/checks"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/site"
)

// keysOfSimulated are those of the section that says what is simulated. A name in capitals
// stands for one of the site file.
var keysOfSimulated = []site.Key{
	{Path: "simulated", Takes: asKeys, Default: "nothing is wrong",
		Means: "with listen: simulated, what the building is like"},
	{Path: "simulated.seed", Takes: asNumber, Default: "0", Example: "1907",
		Means: "a whole number; the same one gives the same visit", Changes: "when simulated detectors answer"},
	{Path: "simulated.charger", Words: simulated.ChargerWords, Default: "good", Example: "dead",
		Means: "what charges the battery: a word, or the keys below", Changes: simulatedVolts},
	{Path: "simulated.charger.voltage", In: checks.Voltage, Above: true, Default: "by chemistry and cells",
		Example: "13.65 V", Means: "what it charges with", Changes: simulatedVolts},
	{Path: "simulated.charger.current", In: checks.Current, Above: true, Default: "enough for the battery",
		Example: "500 mA", Means: "the most that it gives", Changes: simulatedVolts},
	{Path: "simulated.battery", Words: simulated.BatteryWords, Default: "good", Example: "weak",
		Means: "the battery: a word, or the keys below", Changes: simulatedVolts},
	{Path: "simulated.battery.chemistry", Words: simulated.Chemistries, Default: "as site.yaml has it",
		Example: "lithium-ion", Means: "what is really fitted", Changes: simulatedVolts},
	{Path: "simulated.battery.cells", Takes: asNumber, Default: "as site.yaml has it", Example: "4",
		Means: "cells in series", Changes: simulatedVolts},
	{Path: "simulated.battery.capacity", In: checks.Capacity, Above: true, Default: "as site.yaml has it",
		Example: "5 Ah", Means: "what it holds", Changes: "how fast the voltage falls without mains"},
	{Path: "simulated.battery.charge", In: checks.Ratio, Default: "100 %", Example: "60 %",
		Means: "how full it is when the visit begins, at most 100 %", Changes: simulatedVolts},
	{Path: "simulated.battery.resistance", In: checks.Resistance, Above: true, Default: "as usual",
		Example: "0.2 ohm", Means: "inside it", Changes: "the voltage under load"},
	{Path: "simulated.battery.output", In: checks.Voltage, Above: true, Default: "as site.yaml has it",
		Example: "12.1 V", Means: "of the converter behind it", Changes: simulatedVolts},
	{Path: "simulated.delays", Takes: asKeys, Default: "as usual for the kind",
		Means: "how long zones take to report, by address"},
	{Path: "simulated.delays.ADDRESS", In: checks.Time, Example: "12 s",
		Means: "of the zone with that address in site.yaml", Changes: "its response times"},
	{Path: "simulated.outputs", Takes: asKeys, Means: "what is wrong with outputs, by name"},
	{Path: "simulated.outputs.NAME", Takes: asKeys, Means: "of the output with that name in site.yaml"},
	{Path: "simulated.outputs.NAME.silent", Words: []string{"yes", "no"}, Default: "no", Example: "yes",
		Means: "it stays silent when it is switched on", Changes: "what is heard"},
	{Path: "simulated.outputs.NAME.cut_off", In: checks.Time, Above: true, Default: "as site.yaml has it",
		Example: "3 min", Means: "after what time it stops by itself", Changes: "an observed cut-off"},
	{Path: "simulated.faults[]", Takes: asList, Means: "what is wrong with detectors or the controller"},
	{Path: "simulated.faults[].at", Takes: "detector", Need: "a detector, for example 3.2", Example: `"3.2"`,
		Means: "which detector: its zone and its place on it"},
	{Path: "simulated.faults[].fault", Words: simulated.FaultKinds, Example: "silent",
		Means: "what is wrong with it; one of the controller has no other key", Changes: "what its trial shows"},
	{Path: "simulated.faults[].with", Takes: asNumber, Example: "1",
		Means: "for swapped: the number of the zone that answers instead"},
	{Path: "simulated.faults[].trials", Takes: asNumber, Default: "it is never repaired", Example: "1",
		Means: "after so many trials somebody has repaired it"},
}

// simulatedVolts is what most of a simulated supply changes.
const simulatedVolts = "the voltages that the practice voltmeter shows"
