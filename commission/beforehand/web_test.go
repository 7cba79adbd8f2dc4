package beforehand

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What cannot work, or can be read on its way, where the controller speaks HTTP.
func TestWhatHTTPMayDo(t *testing.T) {
	const siren = "outputs: [{name: Siren, kind: sounder, address: s}]\n"
	hook := func(at, more string) string {
		return "listen: webhook\nwebhook:\n  at: " + at + "\n  secret: kiln-s3cret-of-20-letters\n" +
			"  signals: [{path: /zone/+, address: \"z{1}\", active: a, restored: b}]\n" + more
	}
	poll := func(url, more string) string {
		return "listen: poll\npoll:\n  url: " + url + "\n" + more +
			"  signals: [{address: z1, value: /1, active: a, restored: b}]\n"
	}
	const present = "  presence: {path: /p, here: a, away: b}\n"
	const requests = "http: {outputs: [{address: s, url: \"https://h\", \"on\": 1, \"off\": 0}]}\n"
	const unseen, clear = "nothing tells whether the controller can call", "go over the network as they are"
	const stays = "if this computer fails while this output is on, nothing switches it off"
	for name, tc := range map[string]struct {
		controller string
		told       []string
	}{
		"a hook":           {hook("127.0.0.1:1", present) + requests, []string{stays}},
		"that may be gone": {hook("127.0.0.1:1", "") + requests, []string{unseen, stays}},
		"in the clear": {hook("0.0.0.0:1", present) + requests, []string{"the secret goes over the network " +
			"as it is", stays}},
		"over TLS":   {hook("0.0.0.0:1", present+"  cert_file: c\n  key_file: k\n") + requests, []string{stays}},
		"no command": {hook("127.0.0.1:1", present), []string{"output \"Siren\" has an address"}},
		"a zone that is not": {poll("https://h", "") + requests, []string{"no signal of controller.yaml can reach " +
			"zone 9", stays}},
		"a poll in the clear": {poll("http://h", "  password: kiln-s3cret\n") + requests, []string{"can reach zone 9", clear, stays}},
		"a poll of ourselves": {poll("http://localhost", "  password: kiln-s3cret\n") + requests, []string{"can reach zone 9", stays}},
		"two ways to say who": {poll("https://h", "  user: a\n  token: kiln-s3cret\n") + requests, []string{"zone 9", "only the token is sent", stays}},
		"switched twice": {hook("127.0.0.1:1", present) + strings.Replace(requests, "[{", "[{address: s, url: "+
			"\"https://i\", \"on\": 1, \"off\": 0}, {", 1), []string{"has a command already", stays, stays}},
		"MQTT and requests":      {mqttHead + allZones + requests, []string{stays}},
		"requests in the clear":  {hook("127.0.0.1:1", present) + strings.Replace(requests, "{outputs", "{token: kiln-s3cret, outputs", 1), []string{stays}},
		"requests in the clear.": {hook("127.0.0.1:1", present) + strings.NewReplacer("{outputs", "{token: kiln-s3cret, outputs", "https", "http").Replace(requests), []string{stays, clear}},
	} {
		told := remarked(t, siteHead+twoZones+siren+noBattery, tc.controller)
		for _, says := range tc.told {
			assert.Contains(t, strings.Join(told, "\n"), says, name)
		}
		assert.Len(t, told, len(tc.told), "%s: %v", name, told)
		assert.NotContains(t, strings.Join(told, ""), "s3cret", name)
	}
}
