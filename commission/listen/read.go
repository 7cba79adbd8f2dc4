package listen

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/go-openapi/jsonpointer"
	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

var ways = []string{"mqtt", "keyboard", "simulated"}

// Read reads the text of a controller.yaml for a site. All that is wrong is one
// *strictyaml.Problems, which shows places and keys but never a line.
func Read(name string, data []byte, s *site.Site) (Config, error) {
	yamlReader, top, err := strictyaml.Parse(name, data, true, "listen", "mqtt", "simulated")
	if err != nil {
		return Config{}, err
	}
	r := &reader{yamlReader, s}
	c := Config{Way: top.Need("listen", "one of: "+strings.Join(ways, ", "))}
	switch c.Way {
	case "mqtt":
		if !top.Has("mqtt") {
			r.Problem(top.At(), `listen: mqtt needs "mqtt"`, "mqtt: with broker and signals")
		}
		c.MQTT = r.mqtt(
			r.Fields(top.Node("mqtt"), "mqtt", "broker", "user", "password", "ca_file", "signals", "outputs", "presence"))
	case "simulated":
		c.Simulated = r.simulated(r.Fields(top.Node("simulated"), "simulated", simulatedKeys...))
	case "keyboard", "":
	default:
		r.Problem(top.Node("listen"), "that way of listening is not known", "one of: "+strings.Join(ways, ", "))
	}
	for _, other := range []string{"mqtt", "simulated"} {
		if top.Has(other) && c.Way != other {
			r.Problem(top.Node(other), other+" stands beside another way of listening", "remove it, or write listen: "+other)
		}
	}
	if err := r.Err(); err != nil {
		return Config{}, err
	}
	return c, nil
}

type reader struct {
	*strictyaml.Reader
	site *site.Site
}

func (r *reader) mqtt(f strictyaml.Fields) mqtt.Config {
	c := mqtt.Config{User: f.Text("user"), Password: f.Text("password"), CAFile: f.Text("ca_file"), Broker: r.broker(f)}
	items := f.List("signals")
	if len(items) == 0 {
		r.Problem(f.Where("signals"), `mqtt has no "signals"`, "signals: with topic, address, active and restored")
	}
	for _, item := range items {
		c.Signals = append(c.Signals, r.signal(item))
	}
	for _, item := range f.List("outputs") {
		o := r.Fields(item, "output", "address", "topic", "on", "off")
		rule := mqtt.OutputRule{Address: o.Need("address", "the address of an output of the site file"),
			Topic: r.topic(o, false), On: o.Need("on", "what to publish to energise it"),
			Off: o.Need("off", "what to publish to switch it off")}
		if rule.Address != "" &&
			!slices.ContainsFunc(r.site.Outputs, func(s site.Output) bool { return s.Address == rule.Address }) {
			r.Problem(o.Node("address"), "no output of the site file has this address", "")
		}
		c.Outputs = append(c.Outputs, rule)
	}
	if f.Has("presence") {
		a := r.Fields(f.Node("presence"), "presence", "topic", "here", "away")
		c.Presence = &mqtt.PresenceRule{Topic: r.topic(a, false),
			Here: a.Need("here", "the payload when it is there"),
			Away: a.Need("away", "the payload when it is gone")}
	}
	return c
}

func (r *reader) broker(f strictyaml.Fields) *url.URL {
	const hint = "for example tcp://192.168.1.10:1883 or tls://broker.example:8883"
	text := f.Need("broker", hint)
	if text == "" {
		return nil
	}
	u, err := url.Parse(text)
	if err != nil || u.Host == "" || !slices.Contains([]string{"tcp", "tls"}, u.Scheme) {
		r.Problem(f.Node("broker"), "the broker's address is not understood", hint)
		return nil
	}
	if u.User != nil {
		r.Problem(f.Node("broker"), "user and password do not belong in the broker's address",
			"write them as user: and password:")
		return nil
	}
	if u.Port() == "" {
		u.Host += map[string]string{"tcp": ":1883", "tls": ":8883"}[u.Scheme]
	}
	return u
}

// topic reads a topic (or, for signals, a filter with +).
func (r *reader) topic(f strictyaml.Fields, wildcard bool) string {
	topic := f.Need("topic", "the MQTT topic")
	switch {
	case strings.Contains(topic, "#"):
		r.Problem(f.Node("topic"), "# is not taken: it would mix what is reported with what is not",
			"name each level, or + for one")
	case strings.Contains(topic, "+") && !wildcard:
		r.Problem(f.Node("topic"), "+ is not taken here", "write the topic out")
	case slices.ContainsFunc(strings.Split(topic, "/"), partlyWild):
		r.Problem(f.Node("topic"), "+ must stand for a whole level", "for example studio/+/state")
	}
	return topic
}

// partlyWild tells that a level of a topic has a + that is not all of it.
func partlyWild(level string) bool { return strings.Contains(level, "+") && level != "+" }

var placeholder = regexp.MustCompile(`\{([^}]*)\}`)

func (r *reader) signal(item *yaml.Node) mqtt.SignalRule {
	f := r.Fields(item, "signal", "topic", "address", "value", "active", "restored", "tamper", "trouble")
	rule := mqtt.SignalRule{Topic: r.topic(f, true),
		Rule:    payload.Rule{Value: f.Text("value"), States: map[signal.State][]string{}},
		Address: f.Need("address", "the address of a zone of the site file; {1} stands for the first + of the topic")}
	if _, err := jsonpointer.New(rule.Value); err != nil {
		r.Problem(f.Node("value"), "value is no JSON Pointer", "for example /state (RFC 6901)")
	}
	if !strings.Contains(rule.Address, "{") && rule.Address != "" && r.site.ZoneAt(rule.Address) == nil {
		r.Problem(f.Node("address"), "no zone of the site file has this address", "")
	}
	for _, m := range placeholder.FindAllStringSubmatch(rule.Address, -1) {
		if n, err := strconv.Atoi(m[1]); err != nil || n < 1 || n > strings.Count(rule.Topic, "+") {
			r.Problem(f.Node("address"), "{"+m[1]+"} needs a + in the topic", "{1} stands for the first +, {2} for the second")
		}
	}
	seen := map[string]bool{}
	for _, state := range []signal.State{signal.Active, signal.Restored, signal.Tamper, signal.Trouble} {
		for _, word := range f.List(string(state)) {
			text := r.Scalar(word, "a payload")
			if seen[text] {
				r.Problem(word, "this payload already means another state", "")
			}
			seen[text] = true
			rule.States[state] = append(rule.States[state], text)
		}
	}
	for _, key := range []signal.State{signal.Active, signal.Restored} {
		if len(rule.States[key]) == 0 {
			r.Problem(f.Where(string(key)), fmt.Sprintf("signal has no %q", key),
				string(key)+": the payloads that mean it, for example [open, \"1\"]")
		}
	}
	return rule
}
