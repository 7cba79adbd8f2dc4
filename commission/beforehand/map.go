package beforehand

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"loopwitness/commission/listen/mqtt"
)

// byMQTT tells whether there is a map to be looked at.
func (f *finder) byMQTT() bool { return f.Listen.By("mqtt") }

// zones finds those that no signal reaches.
func (f *finder) zones() {
	switch {
	case len(f.Listen.Ways) > 0:
		f.unreached(func(address string) bool { return len(f.Listen.WaysOf(address)) > 0 })
		f.ofEither()
	case f.byMQTT():
		f.unreached(f.reached)
	}
}

// some are the first of many.
func some(texts []string) string {
	const most = 20
	if n := len(texts); n > most {
		return fmt.Sprintf("%s and %d more", strings.Join(texts[:most], ", "), n-most)
	}
	return strings.Join(texts, ", ")
}

func (f *finder) reached(address string) bool {
	for _, rule := range f.Listen.MQTT.Signals {
		if mayReach(rule, address) {
			return true
		}
	}
	return false
}

var placeholder = regexp.MustCompile(`\\\{[0-9]+\\\}`) // as regexp.QuoteMeta leaves it

// mayReach tells whether some topic of a rule reports an address.
func mayReach(rule mqtt.SignalRule, address string) bool {
	pattern := placeholder.ReplaceAllString(regexp.QuoteMeta(rule.Address), `[^/]*`)
	matched, err := regexp.MatchString("^(?s:"+pattern+")$", address)
	return err == nil && matched
}

// signals finds rules for nothing, rules that stand twice, and levels that are lost.
func (f *finder) signals() {
	rules := f.Listen.MQTT.Signals
	for i, rule := range rules {
		if !f.reaches(rule) {
			f.inController(Cannot, at("mqtt", "signals", i, "address"),
				"write the address as site.yaml has it: loopwitness site show", "this signal reaches no zone of the site")
		}
		if n := unusedLevel(rule); n > 0 {
			f.inController(Perhaps, at("mqtt", "signals", i, "topic"),
				fmt.Sprintf("write the level out, or {%d} into the address, unless that is meant", n),
				"topics that differ in their + number %d report the same address", n)
		}
		for j, other := range rules[:i] {
			f.twice(i, j, rule, other)
		}
	}
}

func (f *finder) reaches(rule mqtt.SignalRule) bool {
	for i := range f.Site.Zones {
		if mayReach(rule, f.Site.Zones[i].Address) {
			return true
		}
	}
	return false
}

// unusedLevel is the first + of a rule whose level the address does not hold, 0 for none.
func unusedLevel(rule mqtt.SignalRule) int {
	for n := range strings.Count(rule.Topic, "+") {
		if !strings.Contains(rule.Address, fmt.Sprintf("{%d}", n+1)) {
			return n + 1
		}
	}
	return 0
}

func (f *finder) twice(i, j int, rule, other mqtt.SignalRule) {
	if rule.Topic != other.Topic || rule.Address != other.Address {
		return
	}
	severity, do := Cannot, "make one signal of the two, with the payloads of both"
	if rule.Value != other.Value {
		severity, do = Perhaps, "each message is read by both: what one does not know is told as not understood"
	}
	f.inController(severity, at("mqtt", "signals", i, "topic"), do,
		"signals %d and %d have the same topic and address", j+1, i+1)
}

// outputs finds those without a command, and commands that do something else.
func (f *finder) outputs() {
	if !f.byMQTT() {
		return
	}
	rules := f.Listen.MQTT.Outputs
	commanded := map[string]bool{}
	if c := f.Listen.HTTP; c != nil {
		for _, rule := range c.Outputs {
			commanded[rule.Address] = !slices.ContainsFunc(rules,
				func(r mqtt.OutputRule) bool { return r.Address == rule.Address }) // that is told beside its request
		}
	}
	for i, rule := range rules {
		if commanded[rule.Address] {
			f.inController(Cannot, at("mqtt", "outputs", i, "address"), "remove one of the two: only the first counts",
				"this output has a command already")
		}
		commanded[rule.Address] = true
		f.command(i, rule)
	}
	addressed := map[string]string{}
	for i, o := range f.Site.Outputs {
		if o.Address == "" {
			continue
		}
		if !commanded[o.Address] {
			f.inSite(Perhaps, at("outputs", i, "address"),
				"add it to the outputs of controller.yaml, or remove the address if it is switched by hand",
				"output %q has an address, but controller.yaml has no command for it", o.Name)
		}
		if first, there := addressed[o.Address]; there {
			f.inSite(Perhaps, at("outputs", i, "address"), "give each its own address, unless they are wired together",
				"outputs %q and %q have the same address: whoever switches one switches both", first, o.Name)
		}
		addressed[o.Address] = o.Name
	}
}

// command finds what is wrong with how an output is switched.
func (f *finder) command(i int, rule mqtt.OutputRule) {
	path := at("mqtt", "outputs", i, "topic")
	if rule.On == rule.Off {
		f.inController(Danger, at("mqtt", "outputs", i, "off"), "write what switches it off",
			"the command that switches this output off is the one that switches it on: it would not fall silent")
	}
	for j, other := range f.Listen.MQTT.Outputs[:i] {
		if rule.Topic == other.Topic && rule.On == other.On && rule.Address != other.Address {
			f.inController(Perhaps, path, "give each its own command, unless they are wired together",
				"outputs %d and %d have the same command: whoever switches one switches both", j+1, i+1)
		}
	}
	if slices.ContainsFunc(f.Listen.MQTT.Signals, func(signal mqtt.SignalRule) bool {
		address, ok := signal.AddressOf(rule.Topic)
		return ok && f.Site.ZoneAt(address) != nil
	}) {
		f.inController(Cannot, path, "let signals and commands have topics of their own",
			"the program's own commands would come back as reports of a zone")
	}
}

// presence finds what keeps the controller's word on itself from being understood.
func (f *finder) presence() {
	p := f.Listen.MQTT.Presence
	if p == nil {
		return
	}
	if p.Here == p.Away {
		f.inController(Cannot, at("mqtt", "presence", "away"), "write what it says when it is gone",
			"here and away are the same payload: its absence would never be known")
	}
	for i, rule := range f.Listen.MQTT.Signals {
		if rule.Topic == p.Topic {
			f.inController(Cannot, at("mqtt", "signals", i, "topic"), "write the topic where the zone is reported",
				"this is the topic of presence: nothing that comes there is taken as a report")
		}
	}
}
