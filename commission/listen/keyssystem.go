package listen

import (
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// keysOfSystem are those of what the controller tells of itself.
var keysOfSystem = []site.Key{
	{Path: "mqtt.system[]", Takes: asList, Default: "what it shows is asked about",
		Means:   "where the controller tells of itself that it is set, in alarm, or has a fault",
		Changes: "each is timed as it comes, and nobody is asked about it"},
	{Path: "mqtt.system[].of", Words: aspects(), Example: string(signal.MainsFault), Means: "what is told there",
		Need: "what the controller tells there of itself", Changes: "what the reports prove"},
	{Path: "mqtt.system[].topic", Takes: asTopic, Need: "the MQTT topic", Example: "studio/power/mains",
		Means: "where the controller tells it; + stands for any one level", Changes: "what is listened to"},
	{Path: "mqtt.system[].value", Takes: pointer, Default: "the whole payload", Example: "/mains",
		Means: "where it stands in a payload that is JSON (RFC 6901)"},
	{Path: "mqtt.system[].present", Takes: payloads, Need: "the payloads that mean it, for example [failed, \"1\"]",
		Example: `[failed]`, Means: "what says that it is so"},
	{Path: "mqtt.system[].absent", Takes: payloads, Need: "the payloads that mean it, for example [good, \"0\"]",
		Example: `[good]`, Means: "what says that it is not, or no longer"},
}

// aspects are the words for what a controller tells of itself.
func aspects() (words []string) {
	for _, a := range signal.Aspects {
		words = append(words, string(a))
	}
	return words
}
