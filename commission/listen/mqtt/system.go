package mqtt

import (
	"slices"
	"time"

	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// SystemRule says where the controller tells an aspect of itself, and what payloads mean.
type SystemRule struct {
	Aspect          signal.Aspect
	Topic           string // a filter; + stands for one level
	Value           string // JSON Pointer (RFC 6901) into the payload; "" for all of it
	Present, Absent []string
}

// says is what a payload means by the rule, if the rule knows it.
func (r SystemRule) says(message []byte) (present, known bool) {
	return payload.Says(r.Value, r.Present, r.Absent, message)
}

// about tells whether the rule is about a topic.
func (r SystemRule) about(topic string) bool {
	_, is := payload.Match(r.Topic, topic)
	return is
}

// readSystem is what a message says of the controller itself, in the order of the rules.
// ruled tells whether any rule is about its topic: several may share one, and what one of
// them does not know another may.
func (c *Config) readSystem(topic string, message []byte) (says []signal.System, ruled bool) {
	for _, rule := range c.System {
		if !rule.about(topic) {
			continue
		}
		ruled = true
		if present, known := rule.says(message); known {
			says = append(says, signal.System{Aspect: rule.Aspect, Present: present})
		}
	}
	return says, ruled
}

// tells are the aspects of which a rule says where they are told, each once.
func (c *Config) tells() (all []signal.Aspect) {
	for _, aspect := range signal.Aspects {
		if slices.ContainsFunc(c.System, func(r SystemRule) bool { return r.Aspect == aspect }) {
			all = append(all, aspect)
		}
	}
	return all
}

// system delivers what a message says of the controller itself.
func (c *Controller) system(at time.Time, kept, topic string, message []byte, raw string) {
	to, takes := c.to.(signal.SystemReceiver)
	if !takes {
		return
	}
	says, _ := c.config.readSystem(topic, message)
	for _, said := range says {
		said.At, said.Kept, said.Raw = at, kept, raw
		to.System(said)
	}
}
