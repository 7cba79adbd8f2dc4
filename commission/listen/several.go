package listen

import (
	"regexp"
	"slices"
	"strings"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// several is Config.Way where more than one way is listened to at once.
const several = string(signal.Several)

// By tells whether a way is listened to, alone or with others.
func (c Config) By(way string) bool { return c.Way == way || slices.Contains(c.Ways, way) }

// Each are the ways that are listened to.
func (c Config) Each() []string {
	if len(c.Ways) > 0 {
		return c.Ways
	}
	return []string{c.Way}
}

// alone are the ways that cannot be listened to beside others: what a person's keys tell is known worse and
// has no states between trials, and what is simulated is all simulated.
var alone = []string{"keyboard", "simulated"}

// ways reads what is listened to: one way, or a list of them.
func (r *reader) ways(top section) (c Config) {
	known := keys.At("listen").Words
	items := top.List("listen")
	if len(items) == 0 {
		top.Need("listen", "one of: "+strings.Join(known, ", "))
		return c
	}
	var all []string
	for _, item := range items {
		way := r.Scalar(item, "listen")
		switch {
		case !slices.Contains(known, way):
			r.Problem(item, "that way of listening is not known", "one of: "+strings.Join(known, ", "))
		case slices.Contains(all, way):
			r.Problem(item, "this way of listening stands twice", "remove one of the two")
		case len(items) > 1 && slices.Contains(alone, way):
			r.Problem(item, way+" cannot be listened to beside another way", "listen: "+way+", or without it")
		default:
			all = append(all, way)
		}
	}
	switch len(all) {
	case 0:
	case 1:
		c.Way = all[0]
	default:
		c.Way, c.Ways = several, all
	}
	return c
}

// way reads the section of one way.
func (r *reader) way(top section, way string, c *Config) {
	needs := map[string]string{"mqtt": "with broker and signals", "webhook": "with at, secret or token, and signals",
		"poll": "with url and signals"}
	if with := needs[way]; with != "" && !top.Has(way) {
		r.Problem(top.At(), "listen: "+way+` needs "`+way+`"`, way+": "+with)
	}
	switch way {
	case "mqtt":
		c.MQTT = r.mqtt(r.section(top, "mqtt"))
	case "webhook":
		c.Hook = r.hook(r.section(top, "webhook"))
	case "poll":
		c.Poll = r.poll(r.section(top, "poll"))
	case "simulated":
		if r.site != nil {
			c.Simulated = r.simulated(r.section(top, "simulated"))
		}
	}
}

// claim refuses what the rules of two ways write out.
func (r *reader) claim(f section, key, what string) {
	if what == "" {
		return
	}
	way, _, _ := strings.Cut(f.path, ".")
	name := key + " " + what
	if by := r.claimed[name]; by != "" && by != way {
		r.Problem(f.Node(key), "a rule of "+by+" tells this already: each address, and each thing that the controller tells "+
			"of itself, belongs to one way of listening", "remove the rule of "+by+", or this one")
		return
	}
	r.claimed[name] = way
}

// addresses are those of a site that a way can report. One that a rule writes out belongs to the way of that
// rule, whatever patterns there are; others to each way whose patterns can give them: where that is more than
// one, none has it until the first report (see record/ears.go).
func (c Config) addresses(way string, s *site.Site) []string {
	if s == nil {
		return nil
	}
	var all []string
	for i := range s.Zones {
		address := s.Zones[i].Address
		if slices.Contains(c.WaysOf(address), way) && !slices.Contains(all, address) {
			all = append(all, address)
		}
	}
	return all
}

// WaysOf are the ways that an address belongs to, or may belong to where they are more than one.
func (c Config) WaysOf(address string) []string {
	var written, may []string
	for _, way := range c.Each() {
		rules := c.reported(way)
		if slices.Contains(rules, address) {
			written = append(written, way)
		}
		if slices.ContainsFunc(rules, func(rule string) bool { return mayGive(rule, address) }) {
			may = append(may, way)
		}
	}
	if len(written) > 0 {
		return written
	}
	return may
}

// reported are the addresses of the rules of a way, as they are written.
func (c Config) reported(way string) (all []string) {
	switch way {
	case "mqtt":
		for _, rule := range c.MQTT.Signals {
			all = append(all, rule.Address)
		}
	case "webhook":
		for _, rule := range c.Hook.Signals {
			all = append(all, rule.Address)
		}
	case "poll":
		for _, rule := range c.Poll.Signals {
			all = append(all, rule.Address)
		}
	}
	return all
}

var level = regexp.MustCompile(`\\\{[0-9]+\\\}`) // {1} as regexp.QuoteMeta leaves it

// mayGive tells whether the address of a rule can come to be an address: {1} stands for any level, and a JSON
// Pointer for anything.
func mayGive(rule, address string) bool {
	if strings.HasPrefix(rule, "/") {
		return true
	}
	pattern := level.ReplaceAllString(regexp.QuoteMeta(rule), `[^/]*`)
	matched, err := regexp.MatchString("^(?s:"+pattern+")$", address)
	return err == nil && matched
}
