package listen

import (
	"slices"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// keysOfSimulatedFaults are those of how a simulated controller tells of its supply.
var keysOfSimulatedFaults = []site.Key{
	{Path: "simulated.mains_fault", Takes: asKeys, Default: "as usual",
		Means: "how the controller tells that mains is missing"},
	{Path: "simulated.mains_fault.reported", In: checks.Time, Above: true, Default: "8 s", Example: "3 min",
		Means: "how long after mains was removed it says so", Changes: timesOfFaults},
	{Path: "simulated.mains_fault.cleared", In: checks.Time, Above: true, Default: "5 s", Example: "20 s",
		Means: "how long after mains came back it says so", Changes: timesOfFaults},
	{Path: "simulated.mains_fault.never", Words: simulated.Nevers, Default: "both come",
		Example: string(simulated.NeverCleared), Means: "what never comes; told: it tells nothing of mains", Changes: "what is proved, or asked"},
	{Path: "simulated.battery_fault", Takes: asKeys, Default: "as usual",
		Means: "how the controller tells that the battery is missing"},
	{Path: "simulated.battery_fault.reported", In: checks.Time, Above: true, Default: "8 s", Example: "3 min",
		Means: "how long after it was disconnected it says so", Changes: timesOfFaults},
	{Path: "simulated.battery_fault.cleared", In: checks.Time, Above: true, Default: "5 s", Example: "20 s",
		Means: "how long after it was connected again it says so", Changes: timesOfFaults},
	{Path: "simulated.battery_fault.never", Words: simulated.Nevers, Default: "both come",
		Example: string(simulated.NeverReported), Means: "what never comes; told: it tells nothing of the battery", Changes: "what is proved, or asked"},
}

const timesOfFaults = "when the fault is reported, or cleared"

// faultsTold reads how a simulated controller tells of its supply.
func (r *reader) faultsTold(top section) map[signal.Aspect]simulated.FaultTold {
	var all map[signal.Aspect]simulated.FaultTold
	for key, aspect := range map[string]signal.Aspect{"mains_fault": signal.MainsFault,
		"battery_fault": signal.BatteryFault} {
		if !top.Has(key) {
			continue
		}
		f := r.section(top, key)
		seconds := func(key string) checks.Quantity { return checks.Quantity{SI: r.above(f, key, checks.Time)} }
		never := f.Text("never")
		if never != "" && !slices.Contains(simulated.Nevers, never) {
			r.Problem(f.Node("never"), "that never is not known", "one of: "+strings.Join(simulated.Nevers, ", "))
		}
		if all == nil {
			all = map[signal.Aspect]simulated.FaultTold{}
		}
		all[aspect] = simulated.FaultTold{Reported: seconds("reported").Duration(), Cleared: seconds("cleared").Duration(),
			Never: simulated.Never(never)}
	}
	return all
}
