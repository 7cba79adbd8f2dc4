package site

import (
	"slices"
	"strings"

	"loopwitness/checks"
)

// Key is one key of a file, site.yaml or controller.yaml: the reader takes it as it stands here, and the guide
// to all keys is printed from the same table.
type Key struct {
	Path    string           // "supply.battery.cells"; "zones[].name" for items of a list
	In      checks.Dimension // of a quantity; its zero value for anything else
	Takes   string           // what is typed where it is no quantity: "text", "date", "number", "yes or no"
	Words   []string         // that it takes, where there are only these
	Above   bool             // a quantity that must lie above zero
	Low, Up float64          // of a ratio or a number; both zero for no bounds
	Need    string           // a hint, where the key must be there
	Default string           // what counts without it, "" for nothing
	Example string
	Means   string // one line
	Changes string // what it changes in a visit or on a certificate
}

// Name is the last part of the path.
func (k Key) Name() string { return k.Path[strings.LastIndexByte(k.Path, '.')+1:] }

// Needed tells whether the key must be there, where those around it are.
func (k Key) Needed() bool { return k.Need != "" || len(k.Words) > 0 && k.Default == "" }

// Table is all keys of a file, in its order.
type Table []Key

// Under are the names of the keys directly below a path, "" for the top of the file.
func (t Table) Under(path string) []string {
	var names []string
	for _, k := range t {
		rest, below := k.Path, true
		if path != "" {
			rest, below = strings.CutPrefix(k.Path, path+".")
		}
		if name := strings.TrimSuffix(rest, "[]"); below && !strings.Contains(name, ".") {
			names = append(names, name)
		}
	}
	return names
}

// At is the key of a path; an unknown one is a fault of the program.
func (t Table) At(path string) Key {
	i := slices.IndexFunc(t, func(k Key) bool { return strings.TrimSuffix(k.Path, "[]") == path })
	if i < 0 {
		panic("no key of the file: " + path)
	}
	return t[i]
}

// Keys are all keys of the site file, in its order.
func Keys() Table { return slices.Clone(keys) }

func under(path string) []string { return keys.Under(path) }
func keyAt(path string) Key      { return keys.At(path) }

const (
	asText   = "text"
	asDate   = "date"
	asNumber = "number"
	asKeys   = "keys"
	asList   = "list"
)

// printed is what most texts change.
const printed = "printed on the certificate"

var keys = Table(
	slices.Concat(
		keysOfLanguage,
		keysOfWho,
		keysOfBrand,
		keysOfFurther,
		keysOfPrinted,
		keysOfCables,
		keysOfMaintenance,
		keysOfAgreed,
		keysOfZones,
		keysOfOutputs,
		keysOfSetting,
		keysOfSupply,
		keysOfLimits,
	),
)

var keysOfWho = []Key{
	{Path: "reference", Takes: asText, Need: "a number of your own for this job, printed on every page",
		Example: "KP-0042", Means: "your number for this job", Changes: "printed on every page"},
	{Path: "premises", Takes: asKeys, Need: "with name and address", Means: "where the system is"},
	{Path: "premises.name", Takes: asText, Need: "what the customer calls the place", Example: "Saltglaze Pottery Studio",
		Means: "what the customer calls the place", Changes: printed},
	{Path: "premises.address", Takes: asText, Need: "where it is", Example: "7 Kiln Yard, Little Wenham",
		Means: "where it is", Changes: printed},
	{Path: "premises.use", Takes: asText, Example: "workshop and shop", Means: "what it is used for", Changes: printed},
	{Path: "premises.part", Takes: asText, Example: "ground floor", Means: "the part that is protected", Changes: printed},
	{Path: "customer", Takes: asKeys, Means: "who the system belongs to"},
	{Path: "customer.name", Takes: asText, Example: "Ottoline Marsh-Tanaka", Means: "the customer's name",
		Changes: printed},
	{Path: "customer.contact", Takes: asText, Example: "0100 555 0142", Means: "how to reach them", Changes: printed},
	{Path: "installer", Takes: asKeys, Need: "with company and, where the law asks for one, licence",
		Means: "who answers for the installation"},
	{Path: "installer.company", Takes: asText, Need: "who answers for the installation",
		Example: "Bellbird Alarm Services",
		Means:   "the company", Changes: "printed at the head of the certificate"},
	{Path: "installer.address", Takes: asText, Example: "12 Cooper's Row", Means: "its address", Changes: printed},
	{Path: "installer.phone", Takes: asText, Example: "0100 555 0190", Means: "its telephone", Changes: printed},
	{Path: "installer.licence", Takes: asText, Example: "BA-2217", Means: "its licence, where the law asks for one",
		Changes: printed},
	{Path: "declared", Takes: asKeys, Means: "what the installer declares the system to be"},
	{Path: "declared.standard", Takes: asText, Example: "EN 50131-1", Means: "the standard that the installer names",
		Changes: "printed as declared, never judged"},
	{Path: "declared.grade", Takes: asText, Example: `"2"`, Means: "the grade that the installer names",
		Changes: "printed as declared, never judged"},
	{Path: "declared.class", Takes: asText, Example: "II", Means: "the environmental class",
		Changes: "printed as declared, never judged"},
	{Path: "declared.departures", Takes: asText, Example: "cable reused on zone 3", Means: "agreed departures",
		Changes: "printed as declared, never judged"},
	{Path: "monitoring", Takes: asKeys, Means: "the receiving centre"},
	{Path: "monitoring.centre", Takes: asText, Example: "Northmoor Receiving Centre",
		Means:   "who receives the alarms; none where nobody does",
		Changes: "on test, off test and signalling are asked for; without this key a limitation"},
	{Path: "monitoring.account", Takes: asText, Example: "…4471", Means: "the account, masked", Changes: printed},
	{Path: "monitoring.path", Takes: asText, Example: "broadband, cellular second path", Means: "the signalling paths",
		Changes: printed},
	{Path: "monitoring.paths[]", Takes: asList, Means: "the signalling paths, each on its own",
		Changes: "the centre is asked about each in the trial of a whole alarm"},
	{Path: "monitoring.paths[].name", Takes: asText, Need: "what the path is called", Example: "broadband",
		Means: "what the path is called", Changes: "printed and shown"},
	{Path: "monitoring.paths[].within", In: checks.Time, Above: true, Example: "30 s",
		Means:   "the longest that a message may take to the centre",
		Changes: "held against the delay in the trial of a whole alarm; without it a limitation"},
	{Path: "insurer", Takes: asText, Example: "Fenwick Mutual, policy …8830", Means: "the insurer", Changes: printed},
	{Path: "controller", Takes: asKeys, Need: "with description and location", Means: "the network-connected controller"},
	{Path: "controller.description", Takes: asText, Need: "what it is, in words", Example: "sixteen-zone controller",
		Means: "what it is, in words", Changes: printed},
	{Path: "controller.location", Takes: asText, Example: "packing room", Means: "where it is", Changes: printed},
	{Path: "controller.software", Takes: asText, Example: "firmware 4.2.1", Means: "its software", Changes: printed},
	{Path: "controller.connection", Takes: asText, Example: "wired network", Means: "its connection", Changes: printed},
	{Path: "controller.current", In: checks.Current, Example: "180 mA",
		Means:   "what it draws itself, at rest and in alarm",
		Changes: "the load on adapter and battery; without it they are not computed"},
	{Path: "controller.detector_output", In: checks.Current, Above: true, Example: "1 A",
		Means:   "the most that its supply output for detectors gives",
		Changes: "held against the detectors' currents; without it they are not"},
	{Path: "controller.alarm_output", In: checks.Current, Above: true, Example: "1 A",
		Means:   "the most that its outputs for sounders and strobes give together",
		Changes: "held against the outputs' currents; without it they are not"},
}

var keysOfCables = []Key{
	{Path: "cables", Takes: asKeys, Means: "the cables of the detection circuits"},
	{Path: "cables.reused", Words: []string{string(SaidYes), string(SaidNo)}, Default: "not said", Example: "yes",
		Means:   "whether they are those of an older system",
		Changes: "a stage that measures them before anything is connected; without this key a limitation"},
}

var keysOfMaintenance = []Key{
	{Path: "maintenance", Takes: asKeys, Means: "what was agreed about maintenance"},
	{Path: "maintenance.interval", Takes: "time by the calendar", Example: "6 months",
		Means: "from one visit to the next: days, weeks, months or years; none where nothing was agreed",
		Changes: "the day on which the next visit is due: the same day of a later month, or the last of a shorter one; " +
			"without this key a limitation"},
	{Path: "maintenance.sample", In: checks.Ratio, Above: true, Low: 0.01, Up: 1, Default: "100 %", Example: "25 %",
		Means:   "the share of the detectors that a maintenance visit takes at least",
		Changes: "which detectors it takes; the others are a limitation"},
	{Path: "maintenance.sample_source", Takes: asText, Example: "agreed in the contract", Means: "who says so",
		Changes: "printed beside that limitation; needed for a sample"},
}

var keysOfZones = []Key{
	{Path: "zones[]", Takes: asList, Need: "with at least one zone and its detectors", Means: "the detection circuits"},
	{Path: "zones[].number", Takes: asNumber, Need: "a whole number from 1 to 9999", Example: "3",
		Means: "its number at the controller", Changes: "names its detectors: 3.1, 3.2"},
	{Path: "zones[].name", Takes: asText, Need: "what the zone protects", Example: "Studio windows",
		Means: "what the zone protects", Changes: "printed and shown"},
	{Path: "zones[].area", Takes: asText, Example: "Throwing studio", Means: "the part of the premises",
		Changes: "printed and shown"},
	{Path: "zones[].kind", Words: Kinds, Example: "window", Means: "what its detectors are",
		Changes: "what the technician does, and the limits of time"},
	{Path: "zones[].wiring", Words: Wirings, Example: "two resistors", Means: "how contacts and resistors are joined",
		Changes: "what an ohmmeter should read"},
	{Path: "zones[].end_of_line", In: checks.Resistance, Above: true, Example: "4k7",
		Means: "the resistor at the end of the circuit", Changes: "what an ohmmeter should read"},
	{Path: "zones[].contact_resistor", In: checks.Resistance, Above: true, Example: "4k7",
		Means: "the resistor at each contact", Changes: "what an ohmmeter should read"},
	{Path: "zones[].fault_resistor", In: checks.Resistance, Above: true, Example: "2k2",
		Means: "the third resistor, across the fault or tamper contact", Changes: "what an ohmmeter should read"},
	{Path: "zones[].tolerance", In: checks.Ratio, Low: 0.0001, Up: 0.2, Default: "5 %", Example: "1 %",
		Means: "of the resistors", Changes: "how far a reading may be from what is computed"},
	{Path: "zones[].cable", Takes: asKeys, Means: "the cable of the circuit, from the controller to its end"},
	{Path: "zones[].cable.length", In: checks.Length, Example: "150 m", Means: "its length, one way",
		Changes: "its resistance is added to what an ohmmeter should read"},
	{Path: "zones[].cable.conductor", Takes: "conductor", Example: "0.22 mm2", Means: "its conductor",
		Changes: "its resistance is added to what an ohmmeter should read"},
	{Path: "zones[].cable.type", Takes: asText, Example: "alarm cable, 6 cores, screened", Means: "what cable it is",
		Changes: printed},
	{Path: "zones[].cable.reused", Words: []string{string(SaidYes), string(SaidNo)}, Default: "as for the site",
		Example: "no", Means: "whether this one is that of an older system", Changes: "which cables are measured"},
	{Path: "zones[].address", Takes: asText, Need: "the name under which the controller reports this zone", Example: "z03",
		Means: "the name under which the controller reports this zone", Changes: "which signals count for it"},
	{Path: "zones[].detectors[]", Takes: asList, Need: "with one item for each device on the zone",
		Example: "[Shop door contact]", Means: "the devices on the zone: a name, or keys",
		Changes: "each is operated on its own"},
	{Path: "zones[].detectors[].name", Takes: asText, Need: "which device it is, so that it can be found",
		Example: "Window above wheel 1", Means: "which device it is", Changes: "printed and shown"},
	{Path: "zones[].detectors[].location", Takes: asText, Example: "north wall", Means: "where it is",
		Changes: "printed and shown"},
	{Path: "zones[].detectors[].kind", Words: Kinds, Default: "that of the zone", Example: "smoke",
		Means: "what it is, where a zone has several kinds", Changes: "what the technician does, and the limits of time"},
	{Path: "zones[].detectors[].powered", Takes: asKeys, Means: "for a device that takes 12 V"},
	{Path: "zones[].detectors[].powered.current", In: checks.Current, Need: "what it draws, for example 15 mA",
		Example: "15 mA", Means: "what it draws", Changes: "the load, and the voltage at the device"},
	{Path: "zones[].detectors[].powered.minimum", In: checks.Voltage, Above: true, Example: "9.5 V",
		Means: "the least voltage at which its maker says it works", Changes: "held against the computed voltage"},
	{Path: "zones[].detectors[].powered.cable_length", In: checks.Length, Example: "18 m",
		Means:   "of the cable that feeds it, one way; from the device before it, where it comes after one",
		Changes: "the voltage at the device"},
	{Path: "zones[].detectors[].powered.conductor", Takes: "conductor", Example: "22 AWG", Means: "of that cable",
		Changes: "the voltage at the device"},
	{Path: "zones[].detectors[].powered.after", Takes: "detector", Example: `"5.1"`,
		Means:   "the device from which the same cable goes on to this one",
		Changes: "currents of all devices on one cable add up along it"},
}

var keysOfOutputs = []Key{
	{Path: "outputs[]", Takes: asList, Means: "sounders, strobes, chimes"},
	{Path: "outputs[].name", Takes: asText, Need: "which device it is", Example: "Sounder", Means: "which device it is",
		Changes: "printed and shown"},
	{Path: "outputs[].kind", Words: []string{string(Sounder), string(Strobe), string(Chime)}, Example: "sounder",
		Means: "what it is", Changes: "what is tried and asked"},
	{Path: "outputs[].location", Takes: asText, Example: "under the eaves", Means: "where it is",
		Changes: "printed and shown"},
	{Path: "outputs[].address", Takes: asText, Example: "sounder", Default: "it is switched by hand",
		Means: "the name under which the controller switches it", Changes: "who switches it in a trial"},
	{Path: "outputs[].current", In: checks.Current, Example: "350 mA", Means: "what it draws while it is on",
		Changes: "the alarm load; without it adapter and battery are not computed"},
	{Path: "outputs[].own_battery", Words: []string{"yes", "no"}, Default: "no", Example: "yes",
		Means:   "whether it sounds from a battery of its own",
		Changes: "its current is no load of the alarm; current is then what it takes at rest"},
	{Path: "outputs[].level", In: checks.SoundLevel, Example: "105 dB", Means: "the level that its maker declares",
		Changes: "a measured level is held against it"},
	{Path: "outputs[].level_at", In: checks.Length, Above: true, Example: "1 m", Means: "the distance of that level",
		Changes: "a measured level is held against it"},
	{Path: "outputs[].frequency", In: checks.Frequency, Above: true, Example: "3 kHz", Default: "2 kHz to 4 kHz",
		Means: "what it sounds at", Changes: "how uncertain a level is"},
	{Path: "outputs[].cut_off", In: checks.Time, Example: "15 min", Means: "after what time it stops by itself",
		Changes: "an observed cut-off is held against it"},
	{Path: "outputs[].follows[]", Takes: asList, Example: "[1, 2]", Means: "the zones that a chime follows",
		Changes: "it is tried with each"},
}

var keysOfSupply = []Key{
	{Path: "supply", Takes: asKeys, Need: "with adapter and battery", Means: "where the power comes from"},
	{Path: "supply.adapter", Takes: asKeys, Means: "the mains-fed source"},
	{Path: "supply.adapter.rating", Takes: "current or apparent power", Above: true, Example: "2 A",
		Means:   "what it gives: A of direct current, or VA of alternating current that the controller rectifies",
		Changes: "held against the load"},
	{Path: "supply.adapter.voltage", In: checks.Voltage, Above: true, Example: "13.8 V", Means: "its voltage",
		Changes: "held against the battery's cells where no charger is described"},
	{Path: "supply.adapter.location", Takes: asText, Example: "packing room outlet", Means: "where it is",
		Changes: printed},
	{
		Path:    "supply.adapter.fuse",
		Takes:   asText,
		Example: "T 2 A, behind the adapter",
		Means:   "the fuse of the low voltage",
		Changes: printed,
	},
	{Path: "supply.adapter.circuit", Takes: asText, Example: "230 V, own circuit with a 10 A breaker, TN-S",
		Means: "the mains circuit: its voltage, breaker and earthing, and whether anything else is on it", Changes: printed},
	{Path: "supply.charger", Takes: asKeys, Means: "what charges the battery: a part of the controller as a rule"},
	{Path: "supply.charger.voltage", In: checks.Voltage, Above: true, Default: "the adapter's", Example: "13.65 V",
		Means: "what it charges with", Changes: "held against the battery's cells"},
	{Path: "supply.charger.current", In: checks.Current, Above: true, Example: "500 mA",
		Means:   "the most that it gives; of an inline pack, the most that it takes to charge itself",
		Changes: "the time to recharge, and the load on the adapter"},
	{Path: "supply.recharge", Takes: asKeys, Means: "how soon the battery must be charged again"},
	{Path: "supply.recharge.within", In: checks.Time, Above: true, Example: "72 h", Means: "the time",
		Changes: "held against the computed time"},
	{Path: "supply.recharge.to", In: checks.Ratio, Low: 0.1, Up: 1, Default: "80 %", Example: "80 %",
		Means: "the share of its capacity", Changes: "the computed time"},
	{Path: "supply.recharge.source", Takes: asText, Example: "EN 50131-6, grade 2", Means: "the rule that asks for it",
		Changes: printed},
	{Path: "supply.battery", Takes: asKeys, Need: "with chemistry, or chemistry: none", Means: "the standby battery"},
	{Path: "supply.battery.chemistry", Words: Chemistries, Example: "lead-acid", Means: "what it is made of",
		Changes: "every rule on its voltages, its charging, its age"},
	{Path: "supply.battery.form", Words: Forms, Default: "direct", Example: "inline",
		Means: "direct: on the charger's terminals; converter: behind one; inline: a pack with charger and " +
			"converter in one",
		Changes: "whether the terminals show the battery at all"},
	{Path: "supply.battery.cells", Takes: asNumber, Low: 1, Up: 24, Default: "6, 3 or 4 by chemistry", Example: "4",
		Means: "cells in series", Changes: "every voltage that is right for it"},
	{Path: "supply.battery.capacity", In: checks.Capacity, Above: true, Example: "7 Ah", Means: "as its maker states it",
		Changes: "held against what standby requires"},
	{Path: "supply.battery.energy", In: checks.Energy, Above: true, Example: "60 Wh",
		Means:   "of a pack, instead of capacity",
		Changes: "held against what standby requires"},
	{Path: "supply.battery.hour_rating", In: checks.Time, Above: true, Default: "20 h", Example: "20 h",
		Means: "the discharge time for which the capacity is stated", Changes: "the capacity at the alarm's load"},
	{Path: "supply.battery.exponent", In: checks.Ratio, Low: 1, Up: 2, Default: "by chemistry", Example: "1.15",
		Means: "Peukert's, from its data sheet", Changes: "the capacity at the alarm's load"},
	{Path: "supply.battery.voltage", In: checks.Voltage, Above: true, Default: "by chemistry and cells", Example: "11.1 V",
		Means: "nominal", Changes: "the energy of a pack behind a converter"},
	{Path: "supply.battery.efficiency", In: checks.Ratio, Low: 0.1, Up: 1, Default: "90 %", Example: "88 %",
		Means: "of its converter", Changes: "how long it lasts"},
	{Path: "supply.battery.output", In: checks.Voltage, Above: true, Example: "12 V", Means: "what its converter gives",
		Changes: "the voltage at detectors, and how long it lasts"},
	{Path: "supply.battery.resistance", In: checks.Resistance, Above: true, Example: "60 mohm",
		Means:   "its first value by two loads, as the hand-over's certificate has it",
		Changes: "later visits are held against it"},
	{Path: "supply.battery.life", In: checks.Time, Above: true, Example: "1826 d", Means: "its service life by its maker",
		Changes: "held against its age"},
	{Path: "supply.battery.fitted", Takes: asDate, Example: "2026-11-20", Means: "when it was fitted", Changes: "its age"},
	{Path: "supply.battery.location", Takes: asText, Example: "controller cupboard", Means: "where it is",
		Changes: printed},
	{Path: "supply.standby", Takes: asKeys, Means: "what the installer requires of the battery"},
	{Path: "supply.standby.for", In: checks.Time, Example: "12 h", Means: "how long without mains",
		Changes: "the capacity that is required"},
	{Path: "supply.standby.alarm_for", In: checks.Time, Example: "15 min", Means: "of alarm, at its end",
		Changes: "the capacity that is required"},
	{Path: "supply.standby.ageing", In: checks.Ratio, Low: 1, Up: 3, Default: "1.25", Example: "1.25",
		Means: "factor for age", Changes: "the capacity that is required"},
	{Path: "supply.standby.source", Takes: asText, Example: "EN 50131-6 type A, grade 2",
		Means:   "the rule that asks for it",
		Changes: printed},
	{Path: "supply.loads[]", Takes: asList, Example: "[]",
		Means:   "what else it feeds: keypads, expanders, communicator, router; [] for nothing",
		Changes: "the load; without this key a limitation"},
	{Path: "supply.loads[].name", Takes: asText, Need: "which device it is", Example: "Keypad by the door",
		Means: "which device it is", Changes: printed},
	{Path: "supply.loads[].current", In: checks.Current, Need: "what it draws at rest, for example 30 mA",
		Example: "30 mA", Means: "what it draws at rest", Changes: "the load on standby"},
	{Path: "supply.loads[].alarm_current", In: checks.Current, Need: "what it draws in alarm, for example 60 mA",
		Example: "60 mA", Means: "what it draws in alarm", Changes: "the load in alarm"},
	{Path: "supply.temperature", In: checks.Temperature, Default: "20 C", Example: "5 C",
		Means:   "the lowest that battery and cables are expected to have",
		Changes: "capacity, charging, resistance of cables"},
	{Path: "supply.hold", In: checks.Time, Default: "10 min", Example: "30 min",
		Means: "how long mains stays removed in the test", Changes: "when voltages are read, and what they show"},
	{Path: "supply.readings_at[]", Takes: asList, Default: "at once, a tenth, half, the end",
		Example: "[0 s, 5 min, 10 min]",
		Means:   "when voltages are read while mains is removed", Changes: "the steps of the supply stage"},
}

var keysOfLimits = []Key{
	{Path: "limits", Takes: asKeys, Means: "what readings are held against"},
	{Path: "limits.source", Takes: asText, Example: "agreed with the customer", Means: "who sets these limits",
		Changes: "printed beside each"},
	{Path: "limits.response", Takes: "time, or a time for each kind", Example: "{door: 2 s, smoke: 30 s}",
		Means:   "cue to report, at most; one time alone is for all kinds but smoke, carbon-monoxide, flood, other",
		Changes: "proved or late"},
	{Path: "limits.listen_for", Takes: "time, or a time for each kind", Example: "{smoke: 120 s}",
		Means:   "a detector that has not reported by then is silent; one time alone as with response",
		Changes: "how long the program waits"},
	{Path: "limits.restore", Takes: "a time for each kind", Example: "{door: 5 s, motion: 30 s}",
		Means: "cue to restored, at most", Changes: "proved or late"},
	{Path: "limits.steady", In: checks.Time, Low: 0, Up: 60, Example: "1 s", Means: "a report must stand this long",
		Changes: "proved or unsteady"},
	{Path: "limits.mains_lower", In: checks.Voltage, Example: "13.5 V", Means: "with mains present, at least",
		Changes: "a reading outside fails"},
	{Path: "limits.mains_upper", In: checks.Voltage, Example: "14.4 V", Means: "with mains present, at most",
		Changes: "a reading outside fails"},
	{Path: "limits.standby_lower", In: checks.Voltage, Example: "11.5 V", Means: "with mains removed, at least",
		Changes: "a reading below fails"},
	{Path: "limits.alarm_load_lower", In: checks.Voltage, Example: "10.5 V",
		Means: "with mains removed and everything sounding, at least", Changes: "a reading below fails"},
	{Path: "limits.cold_restart", In: checks.Time, Low: 1, Up: 86400, Example: "120 s",
		Means: "all power back to the first report, at most", Changes: "a later one fails"},
	{Path: "limits.mains_fault", In: checks.Time, Low: 1, Up: 86400, Example: "10 min",
		Means: "until mains failure is reported, at most", Changes: "a later report fails"},
	{Path: "limits.battery_fault", In: checks.Time, Low: 1, Up: 86400, Example: "10 min",
		Means: "until a battery that is disconnected is reported, at most", Changes: "a later report fails"},
	{Path: "limits.margin", In: checks.SoundLevel, Example: "10 dB",
		Means:   "of a sounder over the ambient level, at least",
		Changes: "a smaller one fails"},
	{Path: "limits.insulation", In: checks.Resistance, Low: 1e5, Up: 1e12, Example: "1 Mohm",
		Means:   "of a reused cable, between its cores and to earth, at least",
		Changes: "a smaller one fails; without this key a published limit counts"},
}
