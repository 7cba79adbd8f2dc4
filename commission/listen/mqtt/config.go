package mqtt

import (
	"net/url"
	"strconv"

	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// Config is how to listen to a controller over MQTT 3.1.1. It holds secrets.
type Config struct {
	Broker         *url.URL // tcp, tls; no user part
	User, Password string
	CAFile         string // PEM, for TLS with a private authority
	Signals        []SignalRule
	Outputs        []OutputRule
	Presence       *PresenceRule
	Supply         *SupplyRule
	System         []SystemRule
	Practice       bool // what is listened to is no installation
}

// SignalRule says which topics report which addresses, and what payloads mean.
type SignalRule struct {
	Topic   string // a filter; + stands for one level, captured as {1}, {2} …
	Address string // a zone's address, may hold {1} …
	payload.Rule
}

// OutputRule says how an output is switched.
type OutputRule struct {
	Address string // of the site's output
	Topic   string
	On, Off string
	// NoLastWill says that the broker is not to switch it off if this program is gone.
	NoLastWill bool
}

// PresenceRule says where the controller tells that it is there, or has gone away.
type PresenceRule struct{ Topic, Here, Away string }

// SupplyRule says where the controller tells the voltage of its supply.
type SupplyRule struct {
	Topic string
	Value string  // JSON Pointer (RFC 6901) into the payload; "" for all of it
	Scale float64 // V for each unit of the number in it
}

// volt is what a payload says, if it is a number.
func (r SupplyRule) volt(message []byte) (float64, bool) {
	text, ok := payload.Rule{Value: r.Value}.Text(message)
	if !ok {
		return 0, false
	}
	number, err := strconv.ParseFloat(text, 64)
	volt := number * r.Scale
	return volt, err == nil && signal.Sample{Volt: volt}.Check() == nil
}

// told is what a message says of one address.
type told struct {
	address string
	state   signal.State
}

// read is what a message says: one message may report several addresses, each
// with a rule of its own. Nothing when no rule is about the topic.
func (c *Config) read(topic string, message []byte) []told {
	var all []told
	for _, rule := range c.Signals {
		if address, match := rule.AddressOf(topic); match {
			all = append(all, told{address, rule.State(message)})
		}
	}
	return all
}

// AddressOf is the address that a topic reports by the rule, if the rule is about it.
func (r SignalRule) AddressOf(topic string) (address string, ok bool) {
	captured, ok := payload.Match(r.Topic, topic)
	return payload.Fill(r.Address, captured), ok
}
