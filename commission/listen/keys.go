package listen

import (
	"slices"

	"loopwitness/commission/site"
)

// Keys are all keys of controller.yaml, in its order.
func Keys() site.Table { return slices.Clone(keys) }

const (
	asText   = "text"
	asNumber = "number"
	asKeys   = "keys"
	asList   = "list"
	asTopic  = "topic"
	payloads = "payload, or a list of them"
	pointer  = "JSON Pointer"
)

var keys = site.Table(slices.Concat(keysOfWays, keysOfMQTT, keysOfSystem, keysOfWeb, keysOfSimulated,
	keysOfSimulatedFaults))

var keysOfWays = []site.Key{
	{Path: "listen", Words: []string{"mqtt", "webhook", "poll", "keyboard", "simulated"},
		Need:    "one of: mqtt, webhook, poll, keyboard, simulated",
		Example: "mqtt",
		Means: "how signals come: mqtt by a broker; webhook by the controller's calls over HTTP; poll by its answers over " +
			"HTTP; several of these at once in a list: [mqtt, webhook]; keyboard by your keys; simulated for practice",
		Changes: "how well times are known; practice is said on every page"},
	{Path: "practice", Words: []string{"yes", "no"}, Default: "no", Example: "yes",
		Means:   "yes: what is listened to is no installation; loopwitness bench speaks only where this stands",
		Changes: "every page says that it was practice, and no evidence of any installation"},
}

var keysOfMQTT = []site.Key{
	{Path: "mqtt", Takes: asKeys, Means: "needed with listen: mqtt; with broker and signals"},
	{Path: "mqtt.broker", Takes: "address", Need: "for example tcp://192.168.1.10:1883 or tls://broker.example:8883",
		Example: "tls://broker.example:8883",
		Means:   "where the broker is; the port is 1883, over TLS 8883, unless it is said"},
	{Path: "mqtt.user", Takes: asText, Example: "witness", Means: "the name that the broker knows"},
	{Path: "mqtt.password", Takes: asText, Example: "…", Means: "its password; it is shown nowhere",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "mqtt.ca_file", Takes: "file", Example: "ca.pem", Default: "the computer's own authorities",
		Means:   "the certificate authority of the broker in PEM form, beside controller.yaml",
		Changes: "which broker is believed"},
	{Path: "mqtt.signals[]", Takes: asList, Need: "with topic, address, active and restored",
		Means: "which topics report which zones"},
	{Path: "mqtt.signals[].topic", Takes: asTopic, Need: "the MQTT topic", Example: "studio/zone/+/state",
		Means: "where the controller reports; + stands for any one level", Changes: "what is listened to"},
	{Path: "mqtt.signals[].address", Takes: asText,
		Need:    "the address of a zone of the site file; {1} stands for the first + of the topic",
		Example: `"z{1}"`, Means: "the address of the zone, as site.yaml has it; {1} stands for the first + of the topic",
		Changes: "which detectors a report proves"},
	{Path: "mqtt.signals[].value", Takes: pointer, Default: "the whole payload", Example: "/state",
		Means: "where the state stands in a payload that is JSON (RFC 6901)"},
	{Path: "mqtt.signals[].active", Takes: payloads, Need: "the payloads that mean it, for example [open, \"1\"]",
		Example: `[open, "1"]`, Means: "what says that a detector is operated", Changes: "what proves a detector"},
	{Path: "mqtt.signals[].restored", Takes: payloads, Need: "the payloads that mean it, for example [open, \"1\"]",
		Example: "[closed]", Means: "what says that all is at rest again", Changes: "what ends a trial"},
	{Path: "mqtt.signals[].tamper", Takes: payloads, Example: "[cover]",
		Means:   "what says that something is tampered with",
		Changes: "proves zones of the kind tamper"},
	{Path: "mqtt.signals[].trouble", Takes: payloads, Example: "[fault]", Means: "what says that the zone has a fault",
		Changes: "told to the technician, proves nothing"},
	{Path: "mqtt.outputs[]", Takes: asList, Default: "outputs are switched by hand",
		Means: "how sounders, strobes and chimes are switched"},
	{Path: "mqtt.outputs[].address", Takes: asText, Need: "the address of an output of the site file", Example: "sounder",
		Means: "the address of the output, as site.yaml has it", Changes: "the program switches it in a trial"},
	{Path: "mqtt.outputs[].topic", Takes: asTopic, Need: "the MQTT topic", Example: "studio/sounder/set",
		Means: "where its commands are published"},
	{Path: "mqtt.outputs[].on", Takes: asText, Need: "what to publish to energise it", Example: `"ON"`,
		Means: "what energises it"},
	{Path: "mqtt.outputs[].off", Takes: asText, Need: "what to publish to switch it off", Example: `"OFF"`,
		Means: "what switches it off"},
	{Path: "mqtt.outputs[].last_will", Words: []string{"true", "false"}, Default: "true", Example: "true",
		Means:   "while it is on, the broker holds the command off as a last will (MQTT 3.1.1), over a second connection",
		Changes: "false: if this computer dies meanwhile, nothing switches it off; that is asked about each time"},
	{Path: "mqtt.presence", Takes: asKeys, Default: "the connection to the broker counts",
		Means:   "where the controller tells whether it is there",
		Changes: "its absence is told, and no trial counts meanwhile"},
	{Path: "mqtt.presence.topic", Takes: asTopic, Need: "the MQTT topic", Example: "studio/controller",
		Means: "where it tells so"},
	{Path: "mqtt.presence.here", Takes: "payload", Need: "the payload when it is there", Example: "up",
		Means: "what says that it is there"},
	{Path: "mqtt.presence.away", Takes: "payload", Need: "the payload when it is gone", Example: "down",
		Means: "what says that it is gone"},
	{Path: "mqtt.supply", Takes: asKeys, Means: "where the controller tells the voltage of its supply",
		Changes: "readings without mains can be its own, so that nobody has to stand there"},
	{Path: "mqtt.supply.topic", Takes: asTopic, Need: "the MQTT topic", Example: "studio/supply",
		Means: "where it tells it"},
	{Path: "mqtt.supply.value", Takes: pointer, Default: "the whole payload", Example: "/volt",
		Means: "where the number stands in a payload that is JSON (RFC 6901)"},
	{Path: "mqtt.supply.scale", Takes: asNumber, Low: 1e-6, Up: 1e6, Default: "1", Example: "0.001",
		Means: "what makes volts of the number; 0.001 for millivolts"},
}
