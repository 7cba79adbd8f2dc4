package listen

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// severalFile listens over MQTT and to web hooks; what each of them reports is filled in.
func severalFile(listen, mqtt, hook string) string {
	return fmt.Sprintf(`listen: %s
mqtt:
  broker: tcp://broker.example
  signals:
%s  outputs: [{address: sounder, topic: siren, on: "1", off: "0"}]
webhook:
  at: 127.0.0.1:8460
  secret: 3f9c0a71d2e84b65
  signals:
%s`, listen, mqtt, hook)
}

const meaning = `active: open, restored: closed}`

func overTopic(topic, address string) string {
	return fmt.Sprintf("    - {topic: %q, address: %q, %s\n", topic, address, meaning)
}

func onPath(path, address string) string {
	return fmt.Sprintf("    - {path: %q, address: %q, %s\n", path, address, meaning)
}

// An address belongs to the way that writes it out; else to each whose patterns can give it.
func TestWhoseAnAddressIs(t *testing.T) {
	for name, tc := range map[string]struct {
		mqtt, hook string
		z01, z02   []string
	}{
		"each its own": {overTopic("a", "z01"), onPath("/b", "z02"), []string{"mqtt"}, []string{"webhook"}},
		"a pattern, and one written out": {overTopic("+", "z{1}"), onPath("/b", "z02"), []string{"mqtt"},
			[]string{"webhook"}},
		"two patterns": {overTopic("+", "z{1}"), onPath("/+", "{1}"), []string{"mqtt", "webhook"},
			[]string{"mqtt", "webhook"}},
		"patterns of other addresses": {overTopic("+", "z01{1}"), onPath("/+", "z02{1}"), []string{"mqtt"},
			[]string{"webhook"}},
		"the body says the address": {overTopic("a", "z01"), onPath("/b", "/zone"), []string{"mqtt"}, []string{"webhook"}},
		"nobody":                    {overTopic("a", "z01"), onPath("/+", "q{1}"), []string{"mqtt"}, nil},
	} {
		c, err := Read("controller.yaml", []byte(severalFile("[mqtt, webhook]", tc.mqtt, tc.hook)), demoSite(t))
		require.NoError(t, err, name)
		assert.Equal(t, tc.z01, c.WaysOf("z01"), name)
		assert.Equal(t, tc.z02, c.WaysOf("z02"), name)
		assert.True(t, c.By("mqtt") && c.By("webhook") && !c.By("poll"), name)
	}
}

// The source describes each with its addresses, switches outputs, and guards what is switched over MQTT.
func TestSeveralAreOneSource(t *testing.T) {
	s := demoSite(t)
	file := severalFile("[mqtt, webhook]", overTopic("+", "z{1}"), onPath("/b", "z02"))
	c, err := Read("controller.yaml", []byte(file), s)
	require.NoError(t, err)
	source, err := c.Source(s, clock.Real{})
	require.NoError(t, err)
	about := source.About()
	require.NoError(t, about.Check())
	assert.Equal(t, signal.Several, about.Way)
	assert.Equal(t, []string{"z02"}, about.Ears[1].Addresses)
	assert.Len(t, about.Ears[0].Addresses, len(s.Zones)-1)
	assert.NotContains(t, about.Ears[0].Addresses, "z02")
	guarded, is := source.(signal.Guarded)
	require.True(t, is)
	for i := range s.Outputs {
		o := &s.Outputs[i]
		assert.Equal(t, o.Address == "sounder", guarded.CanEnergise(o), o.Name)
	}
	_, err = guarded.GuardOff(t.Context(), &site.Output{Name: "none", Address: "none"}, func(error) {})
	assert.Error(t, err)
}

// What cannot be listened to at once is refused, where it stands.
func TestSeveralThatAreRefused(t *testing.T) {
	both := severalFile("[mqtt, webhook]", overTopic("a", "z01"), onPath("/b", "z02"))
	told := func(text string) string {
		return strings.Replace(text, "  signals:\n    - {path", "  system: [{path: /s, of: set, present: on, absent: off}]\n"+
			"  signals:\n    - {path", 1)
	}
	for name, tc := range map[string]struct{ text, says string }{
		"an address of two": {severalFile("[mqtt, webhook]", overTopic("a", "z01"), onPath("/b", "z01")),
			"controller.yaml:11:29: a rule of mqtt tells this already"},
		"an aspect of two": {strings.Replace(told(both), "  outputs:",
			"  system: [{topic: s, of: set, present: on, absent: off}]\n"+
				"  outputs:", 1), "a rule of mqtt tells this already"},
		"an output of two": {severalFile("[mqtt, webhook]", overTopic("a", "z01"), onPath("/b", "z02")) +
			"http: {outputs: [{address: sounder, url: \"http://h\", \"on\": 1, \"off\": 0}]}\n",
			"controller.yaml:12:28: this output is switched over MQTT already"},
		"one twice": {strings.Replace(both, "[mqtt, webhook]", "[mqtt, webhook, mqtt]", 1),
			"controller.yaml:1:25: this way of listening stands twice"},
		"keys beside another": {strings.Replace(both, "[mqtt, webhook]", "[mqtt, keyboard, webhook]", 1),
			"keyboard cannot be listened to beside"},
		"practice beside it": {strings.Replace(both, "[mqtt, webhook]", "[mqtt, simulated, webhook]", 1),
			"simulated cannot be listened to beside"},
		"one that is not there": {strings.Replace(both, "[mqtt, webhook]", "[mqtt, webhook, poll]", 1),
			`listen: poll needs "poll"`},
		"one that is unknown": {strings.Replace(both, "[mqtt, webhook]", "[mqtt, webhook, smoke]", 1),
			"that way of listening is not known"},
		"one too many": {strings.Replace(both, "[mqtt, webhook]", "mqtt", 1),
			"webhook stands beside another way"},
	} {
		_, err := Read("controller.yaml", []byte(tc.text), demoSite(t))
		assert.ErrorContains(t, err, tc.says, name)
	}
	_, err := Read("controller.yaml", []byte(told(both)), demoSite(t))
	require.NoError(t, err, "an aspect of one")
	c, err := Read("controller.yaml", []byte("listen: [keyboard]\n"), nil)
	require.NoError(t, err)
	assert.Equal(t, Keyboard, c, "a list of one is one")
}
