package words

import (
	"fmt"

	"loopwitness/commission/signal"
)

// englishEars are what one of several ways is called in brief.
var englishEars = map[signal.Way]string{signal.OverMQTT: "MQTT", signal.OverHook: "web hook",
	signal.ByPolling: "polling"}

// byEar names one of several ways between two texts, "" for none.
func byEar(before string, ear signal.Way, after string) string {
	if ear == "" {
		return ""
	}
	return before + englishEars[ear] + after
}

func englishLost(ear signal.Way) string {
	return "NOT CONNECTED: " + englishEars[ear] + ". Of its zones nothing is heard; you are told when it is back."
}

func englishBack(ear signal.Way) string { return "Connected again: " + englishEars[ear] + "; go on." }

func englishElsewhere(zone int) string {
	return fmt.Sprintf("meanwhile zone %d was reported by another way of listening than its own, which does not count",
		zone)
}

func englishHeardElsewhere(n int) string {
	return fmt.Sprintf("was reported %s by another way of listening than its own, which was not counted",
		count(n, "time", "times"))
}

// englishOfZones are the zones of one of several ways, "" for all.
func englishOfZones(zones []int) string {
	if len(zones) == 0 {
		return ""
	}
	return " of " + plural(len(zones), "zone ", "zones ") + Runs(zones)
}

func englishOfEither(zones []int) string {
	return fmt.Sprintf(
		"More than one of these ways can report %s%s: the first that did in a run counts there; until then "+
			"times are known as the least sure of them knows them.",
		plural(len(zones), "zone ", "zones "),
		Runs(zones),
	)
}
