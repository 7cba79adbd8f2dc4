package listen

import (
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/site"
)

// keysOfSimulated are those of the section that says what is simulated.
var keysOfSimulated = []site.Key{
	{Path: "simulated", Takes: asKeys, Default: "nothing is wrong",
		Means: "with listen: simulated, what the building is like"},
	{Path: "simulated.seed", Takes: asNumber, Default: "0", Example: "1907",
		Means: "a whole number; the same one gives the same visit", Changes: "when simulated detectors answer"},
	{Path: "simulated.battery", Words: []string{"good", "sagging"}, Default: "good", Example: "sagging",
		Means: "the battery", Changes: "the voltages that the practice voltmeter shows"},
	{Path: "simulated.faults[]", Takes: asList, Means: "what is wrong with detectors"},
	{Path: "simulated.faults[].at", Takes: "detector", Need: "a detector, for example 3.2", Example: `"3.2"`,
		Means: "which detector: its zone and its place on it"},
	{Path: "simulated.faults[].fault", Words: simulated.FaultKinds, Example: "silent", Means: "what is wrong with it",
		Changes: "what its trial shows"},
	{Path: "simulated.faults[].with", Takes: asNumber, Example: "1",
		Means: "for swapped: the number of the zone that answers instead"},
	{Path: "simulated.faults[].trials", Takes: asNumber, Default: "it is never repaired", Example: "1",
		Means: "after so many trials somebody has repaired it"},
}
