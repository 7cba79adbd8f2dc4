package mqtt

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
)

// selfish hears what the controller tells of itself, too.
type selfish struct {
	heard
	told []signal.System
}

func (s *selfish) System(said signal.System) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.told = append(s.told, said)
}

func (s *selfish) all() []signal.System {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.told)
}

type repeated struct{ received }

func (repeated) Duplicate() bool { return true }

// onItself are rules that share a topic, and one with a level for any.
var onItself = []SystemRule{
	{Aspect: signal.Set, Topic: "studio/system", Value: "/state", Present: []string{"armed"}, Absent: []string{"off"}},
	{Aspect: signal.Setting, Topic: "studio/system", Value: "/state", Present: []string{"exit"},
		Absent: []string{"armed", "off"}},
	{Aspect: signal.MainsFault, Topic: "studio/+/mains", Present: []string{"failed"}, Absent: []string{"good"}},
}

// What a message says of the controller, by each rule about its topic. What no rule knows
// says nothing.
func TestWhatTheControllerSaysOfItself(t *testing.T) {
	say := func(a signal.Aspect, present bool) signal.System { return signal.System{Aspect: a, Present: present} }
	for name, tc := range map[string]struct {
		topic, payload string
		says           []signal.System
		of             Subject
		understood     bool
	}{
		"two at once": {"studio/system", `{"state":"armed"}`, []signal.System{say(signal.Set, true),
			say(signal.Setting, false)}, OfSystem, true},
		"one of two": {"studio/system", `{"state":"exit"}`, []signal.System{say(signal.Setting, true)},
			OfSystem, true},
		"none of two": {"studio/system", `{"state":"asleep"}`, nil, OfSystem, false},
		"no JSON":     {"studio/system", "armed", nil, OfSystem, false},
		"any level": {"studio/psu/mains", "failed", []signal.System{say(signal.MainsFault, true)}, OfSystem,
			true},
		"with white space": {"studio/psu/mains", " good\n", []signal.System{say(signal.MainsFault, false)}, OfSystem,
			true},
		"in capitals":  {"studio/psu/mains", "FAILED", nil, OfSystem, false},
		"a level more": {"studio/psu/one/mains", "failed", nil, OfNothing, false},
		"a zone on the same topic": {"studio/zone/mains", "failed", []signal.System{say(signal.MainsFault, true)}, OfSignals,
			false},
	} {
		c := Config{System: onItself, Signals: []SignalRule{{Topic: "studio/zone/mains", Address: "z1"}}}
		m := c.message(tc.topic, []byte(tc.payload))
		assert.Equal(t, tc.says, m.Itself, name)
		assert.Equal(t, tc.of, m.Of, name)
		assert.Equal(t, tc.understood, m.Understood, name)
	}
}

// It is delivered stamped and with its payload, live or as what was kept, to whom takes it;
// the source says what it tells, in the order in which a journal has it.
func TestTellingOfItself(t *testing.T) {
	c := New(Config{System: append(onItself, onItself[0])}, clock.Real{})
	assert.Equal(t, []signal.Aspect{signal.Setting, signal.Set, signal.MainsFault}, c.About().Tells)
	assert.Nil(t, New(Config{}, clock.Real{}).About().Tells)
	s := &selfish{}
	c.to = s
	live := received{"studio/psu/mains", "failed"}
	for _, m := range []interface {
		Retained() bool
		Duplicate() bool
	}{live, retained{live}, repeated{live}, received{"studio/psu/mains", "?"}} {
		switch m := m.(type) {
		case received:
			c.message(nil, m)
		case retained:
			c.message(nil, m)
		case repeated:
			c.message(nil, m)
		}
	}
	require.Len(t, s.told, 3)
	for i, kept := range []string{"", signal.Retained, signal.Repeated} {
		assert.WithinDuration(t, time.Now(), s.told[i].At, time.Minute)
		s.told[i].At = time.Time{}
		assert.Equal(t, signal.System{Aspect: signal.MainsFault, Present: true, Kept: kept, Raw: `"failed"`}, s.told[i])
	}
	c.to = &heard{}
	assert.NotPanics(t, func() { c.message(nil, live) }, "who takes none")
}

// Whatever is published, nothing is both present and absent, and only aspects of the rules
// are told.
func FuzzSystem(f *testing.F) {
	f.Add("studio/system", "/state", `{"state":"armed"}`, "armed", "off")
	f.Add("studio/+/mains", "", "failed", "failed", "good")
	f.Add("+", "/a/0", `{"a":[1]}`, "1", "1")
	f.Fuzz(func(t *testing.T, topic, pointer, message, present, absent string) {
		rule := SystemRule{Aspect: signal.Set, Topic: topic, Value: pointer, Present: []string{present},
			Absent: []string{absent}}
		is, known := rule.says([]byte(message))
		if is && !known || known && !is && present == absent {
			t.Fatal(is, known)
		}
		c := Config{System: []SystemRule{rule}}
		m := c.message(topic, []byte(message))
		if len(m.Itself) > 1 || m.Understood != (len(m.Itself) == 1) || m.Understood && m.Of != OfSystem {
			t.Fatalf("%+v", m)
		}
	})
}
