package beforehand

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Where several ways are listened to, a zone is reached by one of them: not by none, and better not by two.
func TestSeveralWays(t *testing.T) {
	controller := func(topic, address, hooked string) string {
		return "listen: [mqtt, webhook]\nmqtt:\n  broker: tcp://h\n  signals: [{topic: " + topic + ", address: \"" + address +
			"\", active: x, restored: y}]\nwebhook:\n  at: 127.0.0.1:8460\n  secret: 3f9c0a71d2e84b65\n  presence: " +
			"{path: /p, here: a, away: b}\n  signals: [{path: /s/+, address: \"" + hooked + "\", active: x, restored: y}]\n"
	}
	for name, tc := range map[string]struct {
		controller string
		told       []string
	}{
		"each by one":                       {controller("a", "z1", "z9{1}"), []string{}},
		"one written out, one by a pattern": {controller("a", "z1", "z{1}"), []string{}},
		"one by none": {controller("a", "z1", "z1{1}"), []string{
			"ERROR site.yaml:7:76: no signal of controller.yaml can reach zone 9"}},
		"both by two": {controller("+", "z{1}", "z{1}"), []string{
			"WARNING site.yaml:6:75: more than one way of listening can report zone 1, 9: the first that does in a run " +
				"counts, what others report of it does not, and until then its times are known as the least sure of them knows " +
				"them"}},
	} {
		assert.Equal(t, tc.told, remarked(t, siteHead+twoZones+noBattery, tc.controller), name)
	}
}
