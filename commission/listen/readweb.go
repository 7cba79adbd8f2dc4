package listen

import (
	"fmt"
	"net"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"go.yaml.in/yaml/v3"

	"loopwitness/checks"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const shortestSecret = 12

// inPath is a secret that needs no escape in a path (RFC 3986, 2.3).
var inPath = regexp.MustCompile(`^[A-Za-z0-9._~-]+$`)

func (r *reader) hook(f section) web.HookConfig {
	c := web.HookConfig{At: r.hostAndPort(f), Secret: f.Text("secret"), Token: f.Text("token"),
		CertFile: f.Text("cert_file"), KeyFile: f.Text("key_file"), Many: f.Text("many"), ID: f.Text("id"),
		RepeatsWithin: r.between(f, "repeats_within", 0, time.Hour, 2*time.Second)}
	switch {
	case c.Secret == "" && c.Token == "":
		r.Problem(f.At(), "webhook has neither secret nor token: anybody could say anything",
			"secret: 12 letters and digits or more, drawn at random, for example by: openssl rand -hex 16")
	case c.Secret != "" && !inPath.MatchString(c.Secret):
		r.Problem(f.Node("secret"), "the secret cannot stand in a path", "letters and digits")
	}
	for _, key := range []string{"secret", "token"} {
		if text := f.Text(key); text != "" && len(text) < shortestSecret {
			r.Problem(f.Node(key), fmt.Sprintf("%s is shorter than %d characters: it could be guessed", key, shortestSecret),
				"draw it at random, for example by: openssl rand -hex 16")
		}
	}
	if (c.CertFile == "") != (c.KeyFile == "") {
		r.Problem(f.At(), "cert_file and key_file need each other", "name both, or none")
	}
	r.pointerIn(f, "many", c.Many)
	if strings.HasPrefix(c.ID, "/") {
		r.pointerIn(f, "id", c.ID)
	}
	for _, n := range f.List("hosts") {
		c.Hosts = append(c.Hosts, r.Scalar(n, "a host"))
	}
	items := f.List("signals")
	if len(items) == 0 {
		r.Problem(f.Where("signals"), `webhook has no "signals"`, "signals: "+keys.At("webhook.signals").Need)
	}
	for _, item := range items {
		s := r.item(item, "webhook.signals[]", "signal")
		rule := web.HookSignal{Path: r.path(s), Address: s.need("address"), Rule: r.states(s)}
		r.hookAddress(s, rule)
		c.Signals = append(c.Signals, rule)
	}
	for _, item := range f.List("system") {
		s := r.item(item, "webhook.system[]", "system")
		c.System = append(c.System, web.HookSystem{Path: r.path(s), Itself: r.itself(s)})
	}
	if f.Has("presence") {
		p := r.section(f, "presence")
		c.Presence = &web.HookPresence{Path: r.path(p), Value: p.Text("value"), Here: p.need("here"), Away: p.need("away")}
		r.pointer(p, c.Presence.Value)
		if strings.Contains(c.Presence.Path, "+") {
			r.Problem(p.Node("path"), "+ is not taken here", "write the path out")
		}
		if c.Presence.Here == c.Presence.Away {
			r.Problem(p.Where("away"), "here and away are the same: its absence would never be known",
				"write what it says when it is gone")
		}
	}
	return c
}

func (r *reader) hostAndPort(f section) string {
	text := f.need("at")
	host, port, err := net.SplitHostPort(text)
	n, errPort := strconv.Atoi(port)
	if text != "" && (err != nil || errPort != nil || n < 1 || n > 65535 || host == "") {
		r.Problem(f.Node("at"), "at is no address with a port", keys.At("webhook.at").Need)
	}
	return text
}

// path reads what stands behind the secret.
func (r *reader) path(f section) string {
	path := f.need("path")
	switch {
	case path == "":
	case !strings.HasPrefix(path, "/"):
		r.Problem(f.Node("path"), "the path does not begin with /", "for example /zone/+")
	case strings.ContainsAny(path, "#?% "):
		r.Problem(f.Node("path"), "the path holds what a path cannot", "write it as it is called, without escapes: /zone/+")
	case slices.ContainsFunc(strings.Split(path, "/"), partlyWild):
		r.Problem(f.Node("path"), "+ must stand for a whole level", "for example /zone/+")
	}
	return path
}

func (r *reader) hookAddress(f section, rule web.HookSignal) {
	if strings.HasPrefix(rule.Address, "/") {
		r.pointerIn(f, "address", rule.Address)
		return
	}
	wild := strings.Count(rule.Path, "+")
	r.zoneAddress(f, rule.Address)
	for _, m := range placeholder.FindAllStringSubmatch(rule.Address, -1) {
		if n, err := strconv.Atoi(m[1]); err != nil || n < 1 || n > wild {
			r.Problem(f.Node("address"), "{"+m[1]+"} needs a + in the path", "{1} stands for the first +, {2} for the second")
		}
	}
	if wild > 0 && rule.Address != "" && !placeholder.MatchString(rule.Address) {
		r.Problem(f.Node("address"), "all paths that + stands for would report this one address",
			`write {1} where the level stands in the address, for example "z{1}", or write the path out`)
	}
}

// zoneAddress refuses an address that is written out and that no zone has.
func (r *reader) zoneAddress(f section, address string) {
	if address == "" || strings.Contains(address, "{") {
		return
	}
	if r.site != nil && r.site.ZoneAt(address) == nil {
		r.Problem(f.Node("address"), "no zone of the site file has this address", "")
	}
	r.claim(f, "address", address)
}

// pointerIn refuses a value of a key that is no JSON Pointer.
func (r *reader) pointerIn(f section, key, value string) {
	if value != "" && !strings.HasPrefix(value, "/") {
		r.Problem(f.Node(key), key+" is no JSON Pointer", "for example /"+key+" (RFC 6901)")
	}
}

// states reads what payloads mean.
func (r *reader) states(f section) payload.Rule {
	rule := payload.Rule{Value: f.Text("value"), States: map[signal.State][]string{}}
	r.pointer(f, rule.Value)
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
				string(key)+": "+keys.At(f.at(string(key))).Need)
		}
	}
	return rule
}

// itself reads what the controller tells of itself, and what payloads mean.
func (r *reader) itself(f section) web.Itself {
	rule := web.Itself{Aspect: signal.Aspect(f.need("of")), Value: f.Text("value")}
	rule.Present, rule.Absent = r.said(f, rule.Aspect, rule.Value)
	return rule
}

func (r *reader) poll(f section) web.PollConfig {
	f.need("url")
	c := web.PollConfig{URL: r.url(f, "url"), Every: r.between(f, "every", shortestPoll, longestPoll, time.Second),
		Timeout: r.between(f, "timeout", shortestPoll, longestPoll, time.Second), Login: login(f), CAFile: f.Text("ca_file")}
	items := f.List("signals")
	if len(items) == 0 {
		r.Problem(f.Where("signals"), `poll has no "signals"`, "signals: "+keys.At("poll.signals").Need)
	}
	for _, item := range items {
		s := r.item(item, "poll.signals[]", "signal")
		rule := web.PollSignal{Address: s.need("address"), Rule: r.states(s)}
		r.zoneAddress(s, rule.Address)
		c.Signals = append(c.Signals, rule)
	}
	for _, item := range f.List("system") {
		c.System = append(c.System, r.itself(r.item(item, "poll.system[]", "system")))
	}
	return c
}

// The bounds of how often, and for how long, a controller is asked.
const (
	shortestPoll = 100 * time.Millisecond
	longestPoll  = 10 * time.Second
)

// between reads a time within bounds.
func (r *reader) between(f section, key string, from, to, otherwise time.Duration) time.Duration {
	q := r.quantity(f.Node(key), key, checks.Time)
	if !q.Given() {
		return otherwise
	}
	d := q.Duration()
	if d < from || d > to {
		r.Problem(f.Node(key), fmt.Sprintf("%s is not between %s and %s", key, checks.FormatDuration(from),
			checks.FormatDuration(to)), "")
	}
	return d
}

func login(f section) web.Login {
	return web.Login{User: f.Text("user"), Password: f.Text("password"), Token: f.Text("token")}
}

// url reads an address of HTTP, "" for none.
func (r *reader) url(f section, key string) string {
	text := f.Text(key)
	if text == "" {
		return ""
	}
	u, err := url.Parse(text)
	switch {
	case err != nil, u.Host == "", !slices.Contains([]string{"http", "https"}, u.Scheme), u.Fragment != "":
		r.Problem(f.Node(key), key+" is no address of HTTP", "for example http://192.168.1.10/status")
	case u.User != nil:
		r.Problem(f.Node(key), "user and password do not belong in "+key, "write them as user: and password:")
	}
	return text
}

// http reads the outputs that are switched by requests; none of them is switched over MQTT, too.
func (r *reader) http(f section, overMQTT []mqtt.OutputRule) web.SwitchConfig {
	c := web.SwitchConfig{Login: login(f), CAFile: f.Text("ca_file")}
	items := f.List("outputs")
	if len(items) == 0 {
		r.Problem(f.Where("outputs"), `http has no "outputs"`, "outputs: "+keys.At("http.outputs").Need)
	}
	for _, item := range items {
		c.Outputs = append(c.Outputs, r.request(item, overMQTT))
	}
	return c
}

func (r *reader) request(item *yaml.Node, overMQTT []mqtt.OutputRule) web.OutputRule {
	o := r.item(item, "http.outputs[]", "output")
	both := r.url(o, "url")
	rule := web.OutputRule{Address: o.need("address"), Method: o.Text("method"), On: o.Text("on"), Off: o.Text("off"),
		OnURL: r.url(o, "on_url"), OffURL: r.url(o, "off_url"), ContentType: o.Text("content_type")}
	if rule.Method == "" {
		rule.Method = "POST"
	}
	if rule.OnURL == "" {
		rule.OnURL = both
	}
	if rule.OffURL == "" {
		rule.OffURL = both
	}
	if known := keys.At("http.outputs[].method").Words; !slices.Contains(known, rule.Method) {
		r.Problem(o.Node("method"), "that method is not known", "one of: "+strings.Join(known, ", "))
	}
	if rule.OnURL == "" || rule.OffURL == "" {
		r.Problem(o.At(), "nothing says what to request", "url: with on and off; or on_url: and off_url:")
	} else if rule.OnURL == rule.OffURL && rule.On == rule.Off {
		r.Problem(o.At(),
			"the request that switches this output off is the one that switches it on: it would not fall silent",
			"on: and off: with different bodies, or on_url: and off_url:")
	}
	if rule.ContentType == "" {
		rule.ContentType = "text/plain; charset=utf-8"
		if strings.HasPrefix(rule.On, "{") || strings.HasPrefix(rule.On, "[") {
			rule.ContentType = "application/json"
		}
	}
	if rule.Address != "" && r.site != nil &&
		!slices.ContainsFunc(r.site.Outputs, func(s site.Output) bool { return s.Address == rule.Address }) {
		r.Problem(o.Node("address"), "no output of the site file has this address", "")
	}
	if rule.Address != "" &&
		slices.ContainsFunc(overMQTT, func(m mqtt.OutputRule) bool { return m.Address == rule.Address }) {
		r.Problem(o.Node("address"), "this output is switched over MQTT already", "remove one of the two")
	}
	return rule
}
