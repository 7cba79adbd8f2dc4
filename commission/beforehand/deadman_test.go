package beforehand

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// An output that nothing would switch off if this computer fails, and a password that
// goes over the network as it is, are told; neither blocks a visit.
func TestWhatAFailureOrAListenerMayDo(t *testing.T) {
	const siren = "outputs: [{name: Siren, kind: sounder, address: s}]\n"
	const command = "  outputs: [{address: s, topic: c, \"on\": 1, \"off\": 0, last_will: "
	const clear = "WARNING controller.yaml:5:13: the password goes over the network as it is: " +
		"whoever listens there can read it"
	at := func(broker string) string {
		return "listen: mqtt\nmqtt:\n  broker: " + broker + "\n  user: ada\n  password: kiln-s3cret\n" + allZones
	}
	for name, tc := range map[string]struct {
		controller string
		told       []string
	}{
		"a will": {mqttHead + allZones + command + "true}]\n", nil},
		"no will": {mqttHead + allZones + command + "false}]\n",
			[]string{"WARNING controller.yaml:5:66: if this computer fails while this output is on, nothing switches it off"}},
		"over TLS":             {at("tls://h") + command + "true}]\n", nil},
		"in the clear":         {at("tcp://h") + command + "true}]\n", []string{clear}},
		"in the clear, by IP":  {at("tcp://192.168.1.10:1883") + command + "true}]\n", []string{clear}},
		"to this computer":     {at("tcp://localhost:1883") + command + "true}]\n", nil},
		"to this computer, v4": {at("tcp://127.0.0.2:1883") + command + "true}]\n", nil},
		"to this computer, v6": {at("tcp://[::1]:1883") + command + "true}]\n", nil},
		"without a password": {strings.Replace(at("tcp://h"), "  password: kiln-s3cret\n", "", 1) + command + "true}]\n",
			nil},
		"keys need no password": {"", nil},
	} {
		if tc.told == nil {
			tc.told = []string{}
		}
		told := remarked(t, siteHead+twoZones+siren+noBattery, tc.controller)
		assert.Equal(t, tc.told, told, name)
		assert.NotContains(t, strings.Join(told, ""), "s3cret")
	}
}
