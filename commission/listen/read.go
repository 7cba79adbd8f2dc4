package listen

import (
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/go-openapi/jsonpointer"
	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/site"
)

// Read reads the text of a controller.yaml for a site. All that is wrong is one
// *strictyaml.Problems, which shows places and keys but never a line. Without a site (nil),
// addresses are held against nothing, and what a simulated controller does is not read.
func Read(name string, data []byte, s *site.Site) (Config, error) {
	yamlReader, fields, err := strictyaml.Parse(name, data, true, keys.Under("")...)
	if err != nil {
		return Config{}, err
	}
	r, top := &reader{Reader: yamlReader, site: s, claimed: map[string]string{}}, section{fields, ""}
	c := r.ways(top)
	for _, way := range c.Each() {
		r.way(top, way, &c)
	}
	c.practice(r, top)
	if top.Has("http") {
		if c.By("keyboard") || c.By("simulated") {
			r.Problem(top.Node("http"), "http stands beside a way of listening that has no such outputs", "remove it")
		}
		http := r.http(r.section(top, "http"), c.MQTT.Outputs)
		http.Practice = c.Practice
		c.HTTP = &http
	}
	for _, other := range []string{"mqtt", "webhook", "poll", "simulated"} {
		if top.Has(other) && !c.By(other) {
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
	site    *site.Site
	claimed map[string]string // by what a rule writes out: the way whose rule it is
}

// section is one mapping of the file, with its path in the table of keys.
type section struct {
	strictyaml.Fields
	path string
}

// at is the path of a key of the section.
func (f section) at(key string) string { return strings.TrimPrefix(f.path+"."+key, ".") }

// need is Text for a key that must be there.
func (f section) need(key string) string { return f.Need(key, keys.At(f.at(key)).Need) }

// section opens the mapping under a key; item opens one of a list. what is how errors
// call it.
func (r *reader) section(f section, key string) section {
	path := f.at(key)
	return section{r.Fields(f.Node(key), key, keys.Under(path)...), path}
}

func (r *reader) item(n *yaml.Node, path, what string) section {
	return section{r.Fields(n, what, keys.Under(path)...), path}
}

func (r *reader) mqtt(f section) mqtt.Config {
	c := mqtt.Config{User: f.Text("user"), Password: f.Text("password"), CAFile: f.Text("ca_file"), Broker: r.broker(f)}
	items := f.List("signals")
	if len(items) == 0 {
		r.Problem(f.Where("signals"), `mqtt has no "signals"`, "signals: "+keys.At("mqtt.signals").Need)
	}
	for _, item := range items {
		c.Signals = append(c.Signals, r.signal(item))
	}
	for _, item := range f.List("outputs") {
		o := r.item(item, "mqtt.outputs[]", "output")
		rule := mqtt.OutputRule{Address: o.need("address"), Topic: r.topic(o, false), On: o.need("on"), Off: o.need("off"),
			NoLastWill: r.noLastWill(o)}
		if rule.Address != "" && r.site != nil &&
			!slices.ContainsFunc(r.site.Outputs, func(s site.Output) bool { return s.Address == rule.Address }) {
			r.Problem(o.Node("address"), "no output of the site file has this address", "")
		}
		c.Outputs = append(c.Outputs, rule)
	}
	if f.Has("presence") {
		a := r.section(f, "presence")
		c.Presence = &mqtt.PresenceRule{Topic: r.topic(a, false), Here: a.need("here"), Away: a.need("away")}
	}
	if f.Has("supply") {
		c.Supply = r.supply(r.section(f, "supply"))
	}
	for _, item := range f.List("system") {
		c.System = append(c.System, r.system(item))
	}
	return c
}

// noLastWill tells whether the file says that an output is not to be guarded.
func (r *reader) noLastWill(f section) bool {
	text, known := f.Text("last_will"), keys.At(f.at("last_will")).Words
	if text != "" && !slices.Contains(known, text) {
		r.Problem(f.Node("last_will"), "last_will is neither true nor false", "one of: "+strings.Join(known, ", "))
	}
	return text == "false"
}

// supply reads where the controller tells the voltage of its supply.
func (r *reader) supply(f section) *mqtt.SupplyRule {
	rule := mqtt.SupplyRule{Topic: r.topic(f, false), Value: f.Text("value"), Scale: 1}
	r.pointer(f, rule.Value)
	if text := f.Text("scale"); text != "" {
		scale, err := strconv.ParseFloat(text, 64)
		if err != nil || !(scale >= smallestScale && scale <= 1/smallestScale) {
			r.Problem(f.Node("scale"), "scale is no number that makes volts", "0.001 where the controller tells millivolts")
		}
		rule.Scale = scale
	}
	return &rule
}

// smallestScale is that of microvolts.
const smallestScale = 1e-6

// pointer refuses a value that is no JSON Pointer.
func (r *reader) pointer(f section, value string) {
	if _, err := jsonpointer.New(value); err != nil {
		r.Problem(f.Node("value"), "value is no JSON Pointer", "for example /state (RFC 6901)")
	}
}

func (r *reader) broker(f section) *url.URL {
	hint := keys.At("mqtt.broker").Need
	text := f.need("broker")
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
func (r *reader) topic(f section, wildcard bool) string {
	topic := f.need("topic")
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
	f := r.item(item, "mqtt.signals[]", "signal")
	rule := mqtt.SignalRule{Topic: r.topic(f, true),
		Address: f.need("address"), Rule: r.states(f)}
	r.zoneAddress(f, rule.Address)
	for _, m := range placeholder.FindAllStringSubmatch(rule.Address, -1) {
		if n, err := strconv.Atoi(m[1]); err != nil || n < 1 || n > strings.Count(rule.Topic, "+") {
			r.Problem(f.Node("address"), "{"+m[1]+"} needs a + in the topic", "{1} stands for the first +, {2} for the second")
		}
	}
	many := slices.Contains(strings.Split(rule.Topic, "/"), "+")
	if many && rule.Address != "" && !placeholder.MatchString(rule.Address) {
		r.Problem(f.Node("address"), "all topics that + stands for would report this one address",
			`write {1} where the level stands in the address, for example "z{1}", or write the topic out`)
	}
	return rule
}
