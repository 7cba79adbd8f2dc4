package checks

// kindLimits are times in s for a kind of detector: cue to report, the time after which it
// is silent, and cue to restored. A tester's smoke takes its time to reach a chamber, gas
// is averaged, and a motion detector counts pulses.
var kindLimits = []struct {
	kind                      string
	response, listen, restore float64
}{
	{"door", 2, 15, 5}, {"window", 2, 15, 5}, {"motion", 5, 20, 30}, {"glass-break", 5, 15, 30}, {"hold-up", 2, 15, 30},
	{"tamper", 2, 15, 5}, {"smoke", 30, 60, 120}, {"carbon-monoxide", 240, 300, 120}, {"flood", 10, 30, 60},
	{"other", 10, 30, 30},
}

// timeThresholds are the limits of time by kind: nobody publishes them.
func timeThresholds() []Threshold {
	var out []Threshold
	add := func(what, kind string, value float64) {
		out = append(out, Threshold{ID: what + "/" + kind, Value: value, Unit: "s", Known: CommonPractice,
			Key: "limits." + what + "." + kind, May: MayUndecide})
	}
	for _, k := range kindLimits {
		add("response", k.kind, k.response)
	}
	for _, k := range kindLimits {
		add("listen_for", k.kind, k.listen)
	}
	for _, k := range kindLimits {
		add("restore", k.kind, k.restore)
	}
	return out
}

// usualThresholds are what counts where a site file says nothing.
var usualThresholds = []Threshold{
	{ID: "limit/steady", Value: 1, Unit: "s", Known: CommonPractice, Key: "limits.steady", May: MayUndecide},
	{ID: "limit/standby-lower", Value: 11.5, Unit: "V", Known: CommonPractice, Key: "limits.standby_lower",
		May: MayUndecide},
	{ID: "limit/alarm-load-lower", Value: 10.5, Unit: "V", Known: CommonPractice, Key: "limits.alarm_load_lower",
		May: MayUndecide},
	{ID: "limit/cold-restart", Value: 120, Unit: "s", Known: CommonPractice, Key: "limits.cold_restart", May: MayUndecide},
	{ID: "limit/hold", Value: 10, Unit: "min", Known: CommonPractice, Key: "supply.hold", May: MayUndecide},
	{ID: "usual/temperature", Value: 20, Unit: "°C", Known: CommonPractice, Key: "supply.temperature", May: MayUndecide},
	{ID: "usual/ageing", Value: 1.25, Known: LookedUp, Key: "supply.standby.ageing", May: MayUndecide,
		Source: "IEEE 485 in a university course: renewed at 80 % of the capacity"},
	{ID: "usual/rate", Value: 20, Unit: "h", Known: CommonPractice, Key: "supply.battery.hour_rating", May: MayUndecide},
	{ID: "usual/output", Value: 12, Unit: "V", Known: CommonPractice, Key: "supply.battery.output", May: MayUndecide},
	{ID: "usual/efficiency", Value: 0.9, Known: CommonPractice, Key: "supply.battery.efficiency", May: MayUndecide},
	{ID: "usual/recharged", Value: 0.8, Known: FromMemory, Key: "supply.recharge.to", May: MayUndecide},
	{ID: "usual/tolerance", Value: 0.05, Known: CommonPractice, Key: "zones[].tolerance", May: MayUndecide},
}

// Usual is the value of a threshold that counts where a site file says nothing, in its
// unit. An unknown code is a fault of the program.
func Usual(id string) float64 { return threshold(id) }
