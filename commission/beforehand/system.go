package beforehand

import (
	"slices"

	"loopwitness/commission/listen/mqtt"
)

// system finds what keeps reports of the controller on itself from being understood.
func (f *finder) system() {
	rules := f.Listen.MQTT.System
	for i, rule := range rules {
		path := at("mqtt", "system", i, "topic")
		if p := f.Listen.MQTT.Presence; p != nil && p.Topic == rule.Topic {
			f.inController(Cannot, path, "write the topic where this is told",
				"this is the topic of presence: nothing that comes there is taken as a report")
		}
		for j, other := range rules[:i] {
			f.toldTwice(path, i, j, rule, other)
		}
	}
}

func (f *finder) toldTwice(path []string, i, j int, rule, other mqtt.SystemRule) {
	same := rule.Topic == other.Topic && rule.Value == other.Value
	switch {
	case rule.Topic != other.Topic:
	case same && rule.Aspect == other.Aspect:
		f.inController(Cannot, path, "make one of the two, with the payloads of both",
			"system %d and %d tell the same of the same topic", j+1, i+1)
	case rule.Aspect == other.Aspect:
		f.inController(Perhaps, path, "keep the one whose value tells it, unless either may",
			"system %d and %d tell the same by two values of one topic", j+1, i+1)
	case same && slices.ContainsFunc(rule.Present, func(w string) bool { return slices.Contains(other.Present, w) }):
		f.inController(Perhaps, path, "give each its own payloads, unless one includes the other",
			"system %d and %d are both present by one payload of one topic and value", j+1, i+1)
	}
}
