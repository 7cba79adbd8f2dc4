package listen

import (
	"errors"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/keyboard"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/signal"
)

const anMQTTFile = `
listen: mqtt
mqtt:
  broker: tls://broker.example
  user: ada
  password: kiln-s3cret
  ca_file: ca.pem
  signals:
    - {topic: studio/+/state, address: "z{1}", value: /state,
       active: [open, 1], restored: closed, tamper: cover, trouble: [low]}
    - {topic: door, address: z01, active: "on", restored: "off"}
  outputs:
    - {address: sounder, topic: studio/siren/set, on: "ON", off: "OFF", last_will: true}
    - {address: sounder, topic: studio/lamp/set, on: "1", off: "0", last_will: false}
  presence: {topic: studio/there, here: up, away: down}
  supply: {topic: studio/supply, value: /mv, scale: 0.001}
`

// Everything that a controller.yaml can say arrives where it belongs.
func TestAllOfAFileIsRead(t *testing.T) {
	c, err := Read("controller.yaml", []byte(anMQTTFile), demoSite(t))
	require.NoError(t, err)
	assert.Equal(t, Config{Way: "mqtt", MQTT: mqtt.Config{
		Broker: &url.URL{Scheme: "tls", Host: "broker.example:8883"}, User: "ada", Password: "kiln-s3cret",
		CAFile: "ca.pem",
		Signals: []mqtt.SignalRule{
			{Topic: "studio/+/state", Address: "z{1}", Rule: payload.Rule{Value: "/state", States: map[signal.State][]string{
				signal.Active: {"open", "1"}, signal.Restored: {"closed"}, signal.Tamper: {"cover"},
				signal.Trouble: {"low"}}}},
			{Topic: "door", Address: "z01", Rule: payload.Rule{States: map[signal.State][]string{signal.Active: {"on"},
				signal.Restored: {"off"}}}},
		},
		Outputs: []mqtt.OutputRule{{Address: "sounder", Topic: "studio/siren/set", On: "ON", Off: "OFF"},
			{Address: "sounder", Topic: "studio/lamp/set", On: "1", Off: "0", NoLastWill: true}},
		Presence: &mqtt.PresenceRule{Topic: "studio/there", Here: "up", Away: "down"},
		Supply:   &mqtt.SupplyRule{Topic: "studio/supply", Value: "/mv", Scale: 0.001},
	}}, c)

	c, err = Read("controller.yaml", []byte("listen: simulated\n"+
		"simulated: {seed: 18446744073709551615, battery: weak,\n"+
		"  faults: [{at: \"3.3\", fault: swapped, with: 1, trials: 2}, {at: \"1.1\", fault: slow}]}\n"), demoSite(t))
	require.NoError(t, err)
	assert.Equal(t, Config{Way: "simulated", Simulated: simulated.Options{Seed: 1<<64 - 1,
		Supply: simulated.SupplyOptions{Battery: simulated.Weak},
		Faults: []simulated.Fault{
			{At: "3.3", Kind: simulated.Swapped, With: 1, Trials: 2}, {At: "1.1", Kind: simulated.Slow}}}}, c)
	c, err = Read("controller.yaml", []byte("listen: simulated\nsimulated: {battery: good}\n"), demoSite(t))
	require.NoError(t, err)
	assert.Equal(t, simulated.SupplyOptions{Battery: simulated.Good}, c.Simulated.Supply)
}

// The ports of MQTT are 1883, and 8883 over TLS (IANA; from memory).
func TestThePortOfABroker(t *testing.T) {
	for address, host := range map[string]string{
		"tcp://h": "h:1883", "tls://h": "h:8883", "tcp://h:1": "h:1", "tls://h:1883": "h:1883",
		"tcp://[::1]": "[::1]:1883", "tls://192.0.2.7:9": "192.0.2.7:9",
	} {
		c, err := Read(
			"controller.yaml",
			[]byte(
				"listen: mqtt\nmqtt:\n  broker: "+address+"\n  signals: [{topic: a, address: z01, active: x, restored: y}]\n",
			),
			demoSite(t),
		)
		require.NoError(t, err, address)
		assert.Equal(t, host, c.MQTT.Broker.Host, address)
	}
}

// What is wrong in a file, each alone: one problem, with its place.
func TestOneProblemEach(t *testing.T) {
	mqttWith := func(rest string) string { return "listen: mqtt\nmqtt:\n  broker: tcp://h\n" + rest }
	const signals = "  signals: [{topic: a, address: z01, active: x, restored: y}]\n"
	signalOf := func(fields string) string { return mqttWith("  signals: [{" + fields + "}]\n") }
	faultOf := func(fields string) string { return "listen: simulated\nsimulated: {faults: [{" + fields + "}]}\n" }
	for name, tc := range map[string]struct{ text, says string }{
		"no way":  {"mqtt2: x\n", `unknown key "mqtt2"`},
		"nothing": {"{}\n", `file has no "listen"`},
		"repaired after too many": {faultOf(`at: "1.1", fault: slow, trials: 99999999999999999999`),
			"trials is no whole number from 1"},
		"two ways": {"listen: keyboard\nsimulated: {}\n",
			"2:12: simulated stands beside another way of listening"},
		"two other ways": {"listen: simulated\nmqtt: {broker: tcp://h}\n",
			"2:7: mqtt stands beside another way of listening"},
		"no broker": {"listen: mqtt\nmqtt:\n" + signals, `mqtt has no "broker"`},
		"a broker without host": {"listen: mqtt\nmqtt:\n  broker: \"tcp://\"\n" + signals,
			"3:11: the broker's address is not understood"},
		"a broker that is no URL": {"listen: mqtt\nmqtt:\n  broker: \"tcp://h:port\"\n" + signals,
			"3:11: the broker's address is not understood"},
		"a broker by the web": {"listen: mqtt\nmqtt:\n  broker: ws://h\n" + signals,
			"3:11: the broker's address is not understood"},
		"a name in its address": {"listen: mqtt\nmqtt:\n  broker: tcp://ada@h\n" + signals,
			"3:11: user and password do not belong"},
		"no topic":   {signalOf("address: z01, active: x, restored: y"), `signal has no "topic"`},
		"no address": {signalOf("topic: a, active: x, restored: y"), `signal has no "address"`},
		"an address of no zone": {signalOf("topic: a, address: z99, active: x, restored: y"),
			"no zone of the site file has this address"},
		"nothing is active":   {signalOf("topic: a, address: z01, restored: y"), `signal has no "active"`},
		"nothing is restored": {signalOf("topic: a, address: z01, active: x"), `signal has no "restored"`},
		"a payload of two meanings": {signalOf("topic: a, address: z01, active: [x, z], restored: y, trouble: z"),
			"this payload already means another state"},
		"a + in a level": {signalOf("topic: a/b+, address: z01, active: x, restored: y"),
			"+ must stand for a whole level"},
		"one address for all topics": {signalOf(`topic: a/+, address: z01, active: x, restored: y`),
			"4:35: all topics that + stands for would report this one address"},
		"a placeholder too many": {signalOf(`topic: a/+, address: "z{1}{2}", active: x, restored: y`),
			"{2} needs a + in the topic"},
		"a placeholder of nought": {signalOf(`topic: a/+, address: "z{0}", active: x, restored: y`),
			"{0} needs a + in the topic"},
		"a placeholder in words": {signalOf(`topic: a/+, address: "z{one}", active: x, restored: y`),
			"{one} needs a + in the topic"},
		"a pointer that is none": {signalOf("topic: a, address: z01, value: state, active: x, restored: y"),
			"value is no JSON Pointer"},
		"a + in an output": {mqttWith(signals + "  outputs: [{address: sounder, topic: a/+, on: x, off: y}]\n"),
			"+ is not taken here"},
		"an output without address": {mqttWith(signals + "  outputs: [{topic: a, on: x, off: y}]\n"),
			`output has no "address"`},
		"an output that never ends": {mqttWith(signals + "  outputs: [{address: sounder, topic: a, on: x}]\n"),
			`output has no "off"`},
		"a will of sorts": {mqttWith(signals + "  outputs: [{address: sounder, topic: a, on: x, off: y, last_will: no}]\n"),
			"last_will is neither true nor false"},
		"an output of nothing": {mqttWith(signals + "  outputs: [{address: horn, topic: a, on: x, off: y}]\n"),
			"no output of the site file has this address"},
		"presence over levels": {mqttWith(signals + "  presence: {topic: +/there, here: x, away: y}\n"),
			"+ is not taken here"},
		"presence without words": {mqttWith(signals + "  presence: {topic: there, here: x}\n"),
			`presence has no "away"`},
		"a supply over levels": {mqttWith(signals + "  supply: {topic: +/volt}\n"), "+ is not taken here"},
		"a supply nowhere":     {mqttWith(signals + "  supply: {value: /volt}\n"), `supply has no "topic"`},
		"a supply without pointer": {mqttWith(signals + "  supply: {topic: a, value: volt}\n"),
			"value is no JSON Pointer"},
		"a supply of no scale":    {mqttWith(signals + "  supply: {topic: a, scale: 0}\n"), "scale is no number"},
		"a supply of a huge one":  {mqttWith(signals + "  supply: {topic: a, scale: 1e7}\n"), "scale is no number"},
		"a supply of a tiny one":  {mqttWith(signals + "  supply: {topic: a, scale: 1e-7}\n"), "scale is no number"},
		"a supply of words":       {mqttWith(signals + "  supply: {topic: a, scale: mV}\n"), "scale is no number"},
		"a supply that is no one": {mqttWith(signals + "  supply: {topic: a, scale: NaN}\n"), "scale is no number"},
		"a seed in sixteens":      {"listen: simulated\nsimulated: {seed: 0xff}\n", "2:19: seed is no whole number"},
		"a seed too large": {"listen: simulated\nsimulated: {seed: 18446744073709551616}\n",
			"2:19: seed is no whole number"},
		"a battery": {"listen: simulated\nsimulated: {battery: flat}\n",
			"2:22: that state of the battery is not known"},
		"a fault nowhere":        {faultOf("fault: slow"), `fault has no "at"`},
		"a fault that is none":   {faultOf(`at: "1.1"`), `fault has no "fault"`},
		"a fault somewhere else": {faultOf(`at: "99.1", fault: slow`), "the site has no detector 99.1"},
		"a fault in words":       {faultOf(`at: "1.1", fault: loud`), "that fault is not known"},
		"swapped with nothing": {faultOf(`at: "1.1", fault: swapped, with: 99`),
			"a swapped zone needs the zone that answers instead"},
		"repaired after none": {faultOf(`at: "1.1", fault: slow, trials: 0`),
			"trials is no whole number from 1"},
		"repaired after some": {faultOf(`at: "1.1", fault: slow, trials: some`),
			"trials is no whole number from 1"},
	} {
		_, err := Read("controller.yaml", []byte(tc.text), demoSite(t))
		assert.ErrorContains(t, err, tc.says, name)
		var problems *strictyaml.Problems
		if assert.ErrorAs(t, err, &problems, name) && name != "no way" {
			assert.Len(t, problems.List, 1, "%s: %v", name, err)
		}
	}
}

// A certificate authority stands beside the file unless it says where.
func TestWhereTheCertificateAuthorityIs(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "controller.yaml")
	for name, want := range map[string]string{"": "", "ca.pem": filepath.Join(dir, "ca.pem"),
		"/etc/ca.pem": "/etc/ca.pem"} {
		file := "listen: mqtt\nmqtt:\n  broker: tls://h\n  signals: [{topic: a, address: z01, active: x, restored: y}]\n"
		if name != "" {
			file += "  ca_file: " + name + "\n"
		}
		require.NoError(t, os.WriteFile(path, []byte(file), 0o600))
		c, err := ReadFile(path, demoSite(t))
		require.NoError(t, err)
		assert.Equal(t, want, c.MQTT.CAFile, name)
	}
}

func TestFilesThatCannotBeRead(t *testing.T) {
	dir := t.TempDir()
	_, err := ReadFile(filepath.Join(dir, "controller.yaml"), demoSite(t))
	assert.ErrorIs(t, err, os.ErrNotExist)
	folder := filepath.Join(dir, "folder")
	require.NoError(t, os.Mkdir(folder, 0o700))
	_, err = ReadFile(folder, demoSite(t))
	assert.ErrorContains(t, err, "read "+folder+": ")
	assert.Equal(t, 1, strings.Count(err.Error(), folder), "its place is told once")
	if runtime.GOOS == "windows" {
		return // it has no such bits
	}
	const secret = "listen: mqtt\nmqtt:\n  broker: tcp://broker.example\n  password: kiln\n  signals:\n" +
		"    - {topic: s/+, address: \"{1}\", active: a, restored: r}\n"
	path := filepath.Join(dir, "controller.yaml")
	for text, holds := range map[string]bool{"listen: keyboard\n": false, secret: true,
		strings.Replace(secret, "  password: kiln\n", "", 1): false, "listen: [\npassword": true} {
		for mode, open := range map[os.FileMode]bool{0o600: false, 0o400: false, 0o640: true, 0o604: true, 0o610: true,
			0o601: true, 0o602: true} {
			require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
			require.NoError(t, os.Chmod(path, mode))
			_, err := ReadFile(path, demoSite(t))
			assert.Equal(t, holds && open, errors.Is(err, ErrExposed), "%04o %s", mode, text)
			if !strings.Contains(text, "[\n") {
				assert.Equal(t, holds && open, err != nil, "%04o %s: %v", mode, text, err)
			}
			require.NoError(t, os.Chmod(path, 0o600))
		}
	}
}

func TestTheSourceThatAFileAsksFor(t *testing.T) {
	s := demoSite(t)
	for way, want := range map[string]signal.Source{"mqtt": &mqtt.Controller{}, "simulated": &simulated.Controller{},
		"keyboard": &keyboard.Keys{}} {
		source, err := Config{Way: way}.Source(s, clock.Real{})
		require.NoError(t, err, way)
		assert.IsType(t, want, source, way)
	}
	source, err := Keyboard.Source(s, clock.Real{})
	require.NoError(t, err)
	assert.IsType(t, &keyboard.Keys{}, source)
}

// Before there is a site, a file is read all the same; what would be held against it is not.
func TestReadWithoutASite(t *testing.T) {
	c, err := Read("controller.yaml", []byte(anMQTTFile), nil)
	require.NoError(t, err)
	assert.Equal(t, "z01", c.MQTT.Signals[1].Address)
	assert.Len(t, c.MQTT.Outputs, 2)
	c, err = Read("controller.yaml", []byte("listen: simulated\nsimulated: {delays: {z99: 3 s}}\n"), nil)
	require.NoError(t, err)
	assert.Equal(t, Config{Way: "simulated"}, c)
	_, err = Read("controller.yaml", []byte("listen: mqtt\nmqtt: {broker: tcp://h, sinals: []}\n"), nil)
	assert.ErrorContains(t, err, "signals")
}
