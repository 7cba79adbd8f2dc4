package bench

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// What a rule has read from a topic, it is told on: by the rule's own reading.
func TestRulesAreSpokenBackwards(t *testing.T) {
	for _, tc := range []struct{ filter, template, address, topic string }{
		{"studio/z1/state", "z1", "z1", "studio/z1/state"},
		{"studio/z1/state", "z1", "z2", ""},
		{"studio/zone/+/state", "{1}", "z03", "studio/zone/z03/state"},
		{"studio/zone/+/state", "z{1}", "z03", "studio/zone/03/state"},
		{"studio/zone/+/state", "z{1}", "y03", ""},
		{"+/zone/+", "{2}", "z03", "1/zone/z03"},
		{"+/zone/+", "{1}-{2}", "a-b-c", "a-b/zone/c"},
		{"+/+", "{1}{1}", "abab", "ab/1"}, // the first takes all that it can: then no topic fits
		{"+", "{1}", "a/b", ""},
		{"+", "{1}", "a+b", ""},
		{"studio/+", "a.c{1}", "abc1", ""}, // a point is no pattern
		{"studio/+", "a.c{1}", "a.c1", "studio/1"},
	} {
		topic, is := reporting(tc.filter, tc.template, tc.address)
		if tc.template == "{1}{1}" {
			assert.False(t, is)
			continue
		}
		assert.Equal(t, tc.topic != "", is, tc)
		if is {
			assert.Equal(t, tc.topic, topic)
		}
	}
}

func FuzzReporting(f *testing.F) {
	f.Add("studio/zone/+/state", "z{1}", "z03")
	f.Add("+/+", "{2}{1}", "ab")
	f.Add("+", "{9999999999999999999999}", "(")
	f.Fuzz(func(t *testing.T, filter, template, address string) {
		topic, is := reporting(filter, template, address)
		if !is {
			return
		}
		rule := mqtt.SignalRule{Topic: filter, Address: template}
		if got, match := rule.AddressOf(topic); !match || got != address {
			t.Fatalf("%q on %q is read as %q", address, topic, got)
		}
	})
}

// Several rules find their own in one text: JSON Pointer, RFC 6901 (looked up).
func TestRulesShareOneText(t *testing.T) {
	var all text
	values := map[string]string{"/a": "open", "/zones/1": "closed", "/zones/2/state": "0", "/m~1n": "x", "/o~0p": "y",
		"/": "empty name"}
	for at, value := range values {
		all.put(at, value)
	}
	for at, value := range values {
		got, ok := payload.Rule{Value: at}.Text(all.bytes())
		assert.True(t, ok, at)
		assert.Equal(t, value, got, at)
	}
	assert.NoError(t, payload.Strict(all.bytes()))
	var plain text
	plain.put("", "ON")
	assert.Equal(t, "ON", string(plain.bytes()))
}

// A rule without a word for tamper has it said as active; without that it says nothing.
func TestWords(t *testing.T) {
	rule := payload.Rule{States: map[signal.State][]string{signal.Active: {"open", "1"}, signal.Restored: {"closed"}}}
	for state, want := range map[signal.State]string{signal.Active: "open", signal.Restored: "closed",
		signal.Tamper: "open", signal.Trouble: "open", signal.Unknown: ""} {
		got, known := word(rule, state)
		assert.Equal(t, want, got, state)
		assert.Equal(t, want != "", known, state)
	}
}
