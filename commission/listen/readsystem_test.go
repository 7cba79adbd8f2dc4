package listen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/signal"
)

const systemHead = "listen: mqtt\nmqtt:\n  broker: tcp://h\n" +
	"  signals: [{topic: a, address: z01, active: x, restored: y}]\n  system: [{"

// Where the controller tells something of itself.
func TestReadWhatTheControllerTellsOfItself(t *testing.T) {
	c, err := Read("controller.yaml", []byte(systemHead+
		"of: mains-fault, topic: s/+/mains, value: /m, present: [failed, 1], absent: good}]\n"), demoSite(t))
	require.NoError(t, err)
	assert.Equal(t, []mqtt.SystemRule{{Aspect: signal.MainsFault, Topic: "s/+/mains", Value: "/m",
		Present: []string{"failed", "1"}, Absent: []string{"good"}}}, c.MQTT.System)
}

// What is wrong with one, each alone, with its place.
func TestOneProblemOfWhatIsToldEach(t *testing.T) {
	for fields, says := range map[string]string{
		"topic: s, present: x, absent: y":                        `system has no "of"`,
		"of: asleep, topic: s, present: x, absent: y":            "5:17: a controller is not known to tell that of itself",
		"of: set, present: x, absent: y":                         `system has no "topic"`,
		"of: set, topic: s/#, present: x, absent: y":             "# is not taken",
		"of: set, topic: s/a+, present: x, absent: y":            "+ must stand for a whole level",
		"of: set, topic: s, value: state, present: x, absent: y": "value is no JSON Pointer",
		"of: set, topic: s, absent: y":                           `system has no "present"`,
		"of: set, topic: s, present: x":                          `system has no "absent"`,
		"of: set, topic: s, present: [x, y], absent: [z, y]":     "a payload stands twice",
		"of: set, topic: s, present: [x, x], absent: y":          "a payload stands twice",
		"of: set, topic: s, present: x, absent: y, address: z01": `unknown key "address"`,
	} {
		_, err := Read("controller.yaml", []byte(systemHead+fields+"}]\n"), demoSite(t))
		assert.ErrorContains(t, err, says, fields)
	}
}
