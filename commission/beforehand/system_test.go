package beforehand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Rules on the controller itself that cannot both be meant, and those that can.
func TestWhatTheControllerTellsTwice(t *testing.T) {
	for name, tc := range map[string]struct {
		rules string
		told  []string
	}{
		"of two topics": {"{of: set, topic: a, present: x, absent: y}, {of: set, topic: b, present: x, absent: y}",
			[]string{}},
		"by its own payloads": {"{of: set, topic: a, present: x, absent: y}, {of: setting, topic: a, present: z, absent: y}",
			[]string{}},
		"by one payload": {"{of: set, topic: a, present: x, absent: y}, {of: alarm, topic: a, present: [z, x], absent: y}",
			[]string{"WARNING controller.yaml:5:75: system 1 and 2 are both present by one payload of one topic and value"}},
		"the same twice": {"{of: set, topic: a, present: x, absent: y}, {of: set, topic: a, present: z, absent: y}",
			[]string{"ERROR controller.yaml:5:73: system 1 and 2 tell the same of the same topic"}},
		"the same by two values": {"{of: set, topic: a, present: x, absent: y}, {of: set, topic: a, value: /b, present: x, " +
			"absent: y}",
			[]string{"WARNING controller.yaml:5:73: system 1 and 2 tell the same by two values of one topic"}},
		"where presence is": {"{of: set, topic: p, present: x, absent: y}]\n  presence: {topic: p, here: up, away: down",
			[]string{"ERROR controller.yaml:5:29: this is the topic of presence: nothing that comes there is taken as a " +
				"report"}},
	} {
		end := "]\n"
		if name == "where presence is" {
			end = "}\n"
		}
		told := remarked(t, siteHead+twoZones+noBattery, mqttHead+allZones+"  system: ["+tc.rules+end)
		assert.Equal(t, tc.told, told, name)
	}
}
