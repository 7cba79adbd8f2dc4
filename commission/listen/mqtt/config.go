package mqtt

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"loopwitness/commission/signal"
	"net/url"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/go-openapi/jsonpointer"
)

// Config is how to listen to a controller over MQTT 3.1.1. It holds secrets.
type Config struct {
	Broker         *url.URL // tcp, tls; no user part
	User, Password string
	CAFile         string // PEM, for TLS with a private authority
	Signals        []SignalRule
	Outputs        []OutputRule
	Availability   *AvailabilityRule
}

// SignalRule says which topics report which addresses, and what payloads mean.
type SignalRule struct {
	Topic   string // a filter; + stands for one level, captured as {1}, {2} …
	Address string // a zone's address, may hold {1} …
	Value   string // JSON Pointer (RFC 6901) into the payload; "" for all of it
	States  map[signal.State][]string
}

// OutputRule says how an output is switched.
type OutputRule struct {
	Address string // of the site's output
	Topic   string
	On, Off string
}

// AvailabilityRule says where the controller tells that it is there.
type AvailabilityRule struct{ Topic, Online, Offline string }

// maxPayload bounds what is looked at of one message.
const maxPayload = 64 << 10

// match captures the levels that a filter's wildcards stand for (MQTT 3.1.1,
// 4.7). The filter of a rule holds no #.
func match(filter, topic string) (captured []string, ok bool) {
	want, got := strings.Split(filter, "/"), strings.Split(topic, "/")
	if len(want) != len(got) {
		return nil, false
	}
	for i, w := range want {
		switch {
		case w == "+":
			captured = append(captured, got[i])
		case w != got[i]:
			return nil, false
		}
	}
	return captured, true
}

// told is what a message says of one address.
type told struct {
	address string
	state   signal.State
}

// read is what a message says: one message may report several addresses, each
// with a rule of its own. Nothing when no rule is about the topic.
func (c *Config) read(topic string, payload []byte) []told {
	var all []told
	for _, rule := range c.Signals {
		captured, match := match(rule.Topic, topic)
		if !match {
			continue
		}
		address := rule.Address
		for i, part := range captured {
			address = strings.ReplaceAll(address, fmt.Sprintf("{%d}", i+1), part)
		}
		all = append(all, told{address, rule.state(payload)})
	}
	return all
}

func (r *SignalRule) state(payload []byte) signal.State {
	value, ok := r.value(payload)
	if !ok {
		return signal.NotUnderstood
	}
	for state, words := range r.States {
		if slices.Contains(words, value) {
			return state
		}
	}
	return signal.NotUnderstood
}

// value is the text that the rule looks at: the payload, or what its pointer
// finds in the JSON text. Numbers stay as they were written.
func (r *SignalRule) value(payload []byte) (string, bool) {
	if len(payload) > maxPayload || !utf8.Valid(payload) {
		return "", false
	}
	if r.Value == "" {
		return strings.TrimSpace(string(payload)), true
	}
	pointer, err := jsonpointer.New(r.Value)
	if err != nil {
		return "", false
	}
	var doc any
	dec := json.NewDecoder(bytes.NewReader(payload))
	dec.UseNumber()
	if dec.Decode(&doc) != nil {
		return "", false
	}
	if _, err := dec.Token(); err != io.EOF {
		return "", false
	}
	found, _, err := pointer.Get(doc)
	if err != nil {
		return "", false
	}
	switch v := found.(type) {
	case string:
		return v, true
	case json.Number:
		return v.String(), true
	case bool:
		return fmt.Sprint(v), true
	}
	return "", false
}
