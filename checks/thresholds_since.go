package checks

// sinceThresholds are what earlier visits are compared with. Nothing fails by them.
var sinceThresholds = []Threshold{
	{ID: "since/level", Value: 0.05, Known: CommonPractice, May: MayUndecide},
	{ID: "since/reaction", Value: 0.2, Unit: "s", Known: FromMemory, May: MayUndecide},
	{ID: "since/spread", Value: 0.1, Known: CommonPractice, May: MayUndecide}, // of the usual limit of its kind
	// Of a battery's voltage, by its temperature and how far it was charged.
	{ID: "since/battery-volt", Value: 0.1, Unit: "V", Known: CommonPractice, May: MayUndecide},
	{ID: "since/room", Value: 0.5, Known: CommonPractice, May: MayUndecide}, // of the time left to a limit
	// A supply voltage whose slope meets its limit later than that is far from it.
	{ID: "since/far", Value: 10, Unit: "a", Known: CommonPractice, May: MayUndecide},
	{ID: "since/same-minute", Value: 60, Unit: "s", Known: CommonPractice, May: MayUndecide},
	{ID: "since/interval", Value: 1, Unit: "a", Known: CommonPractice, Key: "maintenance.interval", May: MayUndecide},
}
