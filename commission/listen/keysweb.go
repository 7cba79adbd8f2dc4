package listen

import (
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// keysOfWeb are those of controllers that speak HTTP.
var keysOfWeb = slices.Concat(keysOfHook, statesUnder("webhook.signals[]"), keysOfHookItself, keysOfPoll,
	statesUnder("poll.signals[]"), keysOfPollItself, keysOfHTTP)

const asPath = "path"

var keysOfHook = []site.Key{
	{Path: "webhook", Takes: asKeys, Means: "needed with listen: webhook; with at, secret or token, and signals"},
	{Path: "webhook.at", Takes: "address",
		Need:    "where to listen, for example 192.168.1.20:8460; 0.0.0.0 for every network",
		Example: "192.168.1.20:8460", Means: "the address of this computer, and the port, that the controller calls"},
	{Path: "webhook.secret", Takes: asText, Example: "3f9c0a71d2e84b65",
		Means:   "the first part of every path, at least 12 letters and digits; it, or token, or both are needed",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "webhook.token", Takes: asText, Example: "8d41b07e6c2f4a93",
		Means:   "what every call bears in the header Authorization, after Bearer; at least 12 characters",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "webhook.cert_file", Takes: "file", Example: "hook.pem", Default: "no TLS",
		Means: "the certificate of this computer for TLS, in PEM form, beside controller.yaml; with key_file"},
	{Path: "webhook.key_file", Takes: "file", Example: "hook.key",
		Means: "its key; the file must be yours alone: chmod 600"},
	{Path: "webhook.hosts", Takes: "name, or a list of them", Default: "every name is taken",
		Example: "[witness.studio.example]",
		Means:   "by which names this computer may be called", Changes: "calls for another host are refused"},
	{Path: "webhook.many", Takes: pointer, Default: "a body that is a list holds many, any other is one",
		Example: "/events",
		Means:   "where the list stands in a body that holds many signals"},
	{Path: "webhook.id", Takes: "JSON Pointer, or the name of a header", Default: "a call is known by what it says",
		Example: "/id", Means: "where a call's own id stands, another for each call",
		Changes: "a call with the id, path and words of one that was there says nothing new"},
	{Path: "webhook.repeats_within", In: checks.Time, Default: "2 s", Example: "5 s",
		Means:   "so soon after it the same of the same address is said again, and no response; 0 s for never",
		Changes: "what counts as a response"},
	{Path: "webhook.signals[]", Takes: asList, Need: "with path, address, active and restored",
		Means: "which paths report which zones"},
	{Path: "webhook.signals[].path", Takes: asPath, Need: "the path after the secret, for example /zone/+",
		Example: "/zone/+",
		Means:   "what the controller calls, after the secret; + stands for any one level", Changes: "what is listened to"},
	{Path: "webhook.signals[].address", Takes: asText,
		Need:    "the address of a zone of the site file; {1} stands for the first + of the path; or a pointer, as /zone",
		Example: `"z{1}"`,
		Means:   "the zone's address, as site.yaml has it; {1} stands for the first + of the path; or a JSON Pointer to it",
		Changes: "which detectors a report proves"},
}

var keysOfHookItself = []site.Key{
	{Path: "webhook.presence", Takes: asKeys, Default: "nothing tells whether the controller is there",
		Means:   "where the controller tells whether it is there",
		Changes: "its absence is told, and no trial counts meanwhile"},
	{Path: "webhook.presence.path", Takes: asPath, Need: "the path after the secret, for example /controller",
		Example: "/controller", Means: "what it calls to tell so"},
	{Path: "webhook.presence.value", Takes: pointer, Default: "the whole body", Example: "/presence",
		Means: "where it stands in a body that is JSON (RFC 6901)"},
	{Path: "webhook.presence.here", Takes: "payload", Need: "the payload when it is there", Example: "up",
		Means: "what says that it is there"},
	{Path: "webhook.presence.away", Takes: "payload", Need: "the payload when it is gone", Example: "down",
		Means: "what says that it is gone"},
	{Path: "webhook.system[]", Takes: asList, Default: "what it shows is asked about",
		Means:   "where the controller tells of itself that it is set, in alarm, or has a fault",
		Changes: "each is timed as it comes, and nobody is asked about it"},
	{Path: "webhook.system[].of", Words: aspects(), Example: string(signal.MainsFault), Means: "what is told there",
		Need: "what the controller tells there of itself", Changes: "what the reports prove"},
	{Path: "webhook.system[].path", Takes: asPath, Need: "the path after the secret, for example /power",
		Example: "/power", Means: "what it calls to tell it; + stands for any one level", Changes: "what is listened to"},
	{Path: "webhook.system[].value", Takes: pointer, Default: "the whole body", Example: "/mains",
		Means: "where it stands in a body that is JSON or a form (RFC 6901)"},
	{Path: "webhook.system[].present", Takes: payloads, Need: "the payloads that mean it, for example [failed, \"1\"]",
		Example: `[failed]`, Means: "what says that it is so"},
	{Path: "webhook.system[].absent", Takes: payloads, Need: "the payloads that mean it, for example [good, \"0\"]",
		Example: `[good]`, Means: "what says that it is not, or no longer"},
}

// statesUnder are the keys of what payloads mean.
func statesUnder(path string) []site.Key {
	return []site.Key{
		{Path: path + ".value", Takes: pointer, Default: "the whole body", Example: "/state",
			Means: "where the state stands in a body that is JSON or a form (RFC 6901)"},
		{Path: path + ".active", Takes: payloads, Need: "the payloads that mean it, for example [open, \"1\"]",
			Example: `[open, "1"]`, Means: "what says that a detector is operated", Changes: "what proves a detector"},
		{Path: path + ".restored", Takes: payloads, Need: "the payloads that mean it, for example [open, \"1\"]",
			Example: "[closed]", Means: "what says that all is at rest again", Changes: "what ends a trial"},
		{Path: path + ".tamper", Takes: payloads, Example: "[cover]", Means: "what says that something is tampered with",
			Changes: "proves zones of the kind tamper"},
		{Path: path + ".trouble", Takes: payloads, Example: "[fault]", Means: "what says that the zone has a fault",
			Changes: "told to the technician, proves nothing"},
	}
}

var keysOfPoll = []site.Key{
	{Path: "poll", Takes: asKeys, Means: "needed with listen: poll; with url and signals"},
	{Path: "poll.url", Takes: "address", Need: "for example http://192.168.1.10/status",
		Example: "https://controller.example/status",
		Means:   "what the controller is asked (GET)"},
	{Path: "poll.every", In: checks.Time, Above: true, Default: "1 s", Example: "0.5 s",
		Means:   "how often it is asked: 0.1 s to 10 s",
		Changes: "with timeout, how well a time is known: a report is late by both at most"},
	{Path: "poll.timeout", In: checks.Time, Above: true, Default: "1 s", Example: "3 s",
		Means:   "how long an answer may take: 0.1 s to 10 s; two that take longer are the loss of the connection",
		Changes: "with every, how well a time is known"},
	{Path: "poll.user", Takes: asText, Example: "witness", Means: "the name that the controller knows"},
	{Path: "poll.password", Takes: asText, Example: "…", Means: "its password; it is shown nowhere",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "poll.token", Takes: asText, Example: "…", Means: "sent after Bearer, instead of user and password",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "poll.ca_file", Takes: "file", Example: "ca.pem", Default: "the computer's own authorities",
		Means:   "the certificate authority of the controller in PEM form, beside controller.yaml",
		Changes: "which controller is believed"},
	{Path: "poll.signals[]", Takes: asList, Need: "with address, value, active and restored",
		Means: "where in the answer the state of each zone stands"},
	{Path: "poll.signals[].address", Takes: asText, Need: "the address of a zone of the site file", Example: "z01",
		Means: "the address of the zone, as site.yaml has it", Changes: "which detectors a report proves"},
}

var keysOfPollItself = []site.Key{
	{Path: "poll.system[]", Takes: asList, Default: "what it shows is asked about",
		Means:   "where in the answer the controller tells of itself that it is set, in alarm, or has a fault",
		Changes: "each is timed as it is seen, and nobody is asked about it"},
	{Path: "poll.system[].of", Words: aspects(), Example: string(signal.MainsFault), Means: "what is told there",
		Need: "what the controller tells there of itself", Changes: "what the reports prove"},
	{Path: "poll.system[].value", Takes: pointer, Default: "the whole body", Example: "/mains",
		Means: "where it stands in a body that is JSON (RFC 6901)"},
	{Path: "poll.system[].present", Takes: payloads, Need: "the payloads that mean it, for example [failed, \"1\"]",
		Example: `[failed]`, Means: "what says that it is so"},
	{Path: "poll.system[].absent", Takes: payloads, Need: "the payloads that mean it, for example [good, \"0\"]",
		Example: `[good]`, Means: "what says that it is not, or no longer"},
}

var keysOfHTTP = []site.Key{
	{Path: "http", Takes: asKeys, Default: "outputs are switched as the way of listening has it, or by hand",
		Means: "with listen: mqtt, webhook or poll, outputs that are switched by HTTP requests"},
	{Path: "http.user", Takes: asText, Example: "witness", Means: "the name that the controller knows"},
	{Path: "http.password", Takes: asText, Example: "…", Means: "its password; it is shown nowhere",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "http.token", Takes: asText, Example: "…", Means: "sent after Bearer, instead of user and password",
		Changes: "the file must be yours alone: chmod 600 controller.yaml"},
	{Path: "http.ca_file", Takes: "file", Example: "ca.pem", Default: "the computer's own authorities",
		Means:   "the certificate authority of the controller in PEM form, beside controller.yaml",
		Changes: "which controller is believed"},
	{Path: "http.outputs[]", Takes: asList, Need: "with address, url, on and off",
		Means:   "how sounders, strobes and chimes are switched",
		Changes: "if this computer dies while one is on, nothing switches it off; that is asked about each time"},
	{Path: "http.outputs[].address", Takes: asText, Need: "the address of an output of the site file", Example: "sounder",
		Means: "the address of the output, as site.yaml has it", Changes: "the program switches it in a trial"},
	{Path: "http.outputs[].url", Takes: "address", Default: "on_url and off_url say it",
		Example: "http://192.168.1.10/sounder",
		Means:   "what is requested to switch it"},
	{Path: "http.outputs[].on_url", Takes: "address", Default: "as url", Example: "http://192.168.1.10/sounder/on",
		Means: "what is requested to energise it, where that differs"},
	{Path: "http.outputs[].off_url", Takes: "address", Default: "as url", Example: "http://192.168.1.10/sounder/off",
		Means: "what is requested to switch it off, where that differs"},
	{Path: "http.outputs[].method", Words: []string{"POST", "PUT", "PATCH", "GET"}, Default: "POST", Example: "PUT",
		Means: "the method of the request"},
	{Path: "http.outputs[].on", Takes: asText, Default: "an empty body",
		Example: `'{"on":true}'`, Means: "what energises it"},
	{Path: "http.outputs[].off", Takes: asText, Default: "an empty body", Example: `'{"on":false}'`,
		Means: "what switches it off"},
	{Path: "http.outputs[].content_type", Takes: asText,
		Default: "application/json for a body in { } or [ ], else text/plain",
		Example: "application/json", Means: "what the body is said to be"},
}
