package mqtt

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
)

// follower writes down what it is told.
type follower struct {
	mu   sync.Mutex
	told []string
}

func (f *follower) Message(m Message) {
	f.mu.Lock()
	defer f.mu.Unlock()
	line := fmt.Sprintf("%s %s kept=%v of=%q understood=%v", m.Topic, m.Payload, m.Kept, m.Of, m.Understood)
	for _, s := range m.Says {
		line += fmt.Sprintf(" %s:%s", s.Address, s.State)
	}
	f.told = append(f.told, line)
}

func (f *follower) Connection(c signal.Connection) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.told = append(f.told, fmt.Sprintf("up=%v", c.Up))
}

func (f *follower) all() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return append([]string{}, f.told...)
}

// Each message is told once, as it comes, with what it says; a connection that is lost comes
// back, and with it the topics.
func TestFollow(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	publish := func(topic, text string, kept bool) { require.NoError(t, s.Publish(topic, []byte(text), kept, 0)) }
	publish("studio/zone/1/state", `{"state":"open"}`, true)
	c := at(address, zoneRule, windowRule)
	c.Presence = &PresenceRule{Topic: "studio/there", Here: "up", Away: "down"}
	c.Supply = &SupplyRule{Topic: "studio/volt", Scale: 1}
	ctx, cancel := context.WithCancel(t.Context())
	f, ended := &follower{}, make(chan Tried, 1)
	go func() {
		tried, err := Follow(ctx, c, clock.Real{}, false, f)
		assert.NoError(t, err)
		ended <- tried
	}()
	soon := func(want string) {
		t.Helper()
		require.Eventually(t, func() bool {
			for _, line := range f.all() {
				if line == want {
					return true
				}
			}
			return false
		}, 20*time.Second, 5*time.Millisecond, "%s in %q", want, f.all())
	}
	soon(`studio/zone/1/state "{\"state\":\"open\"}" kept=true of="signals" understood=true z1:active`)
	soon("up=true")
	for _, m := range [][2]string{{"studio/zone/2/state", `{"state":"ajar"}`}, {"studio/window", "open"},
		{"studio/windows", "open"}, {"studio/there", "up"}, {"studio/there", "Up"}, {"studio/volt", "12.7"},
		{"studio/volt", "much"}, {"studio/window", "closed"}} {
		publish(m[0], m[1], false)
	}
	soon(`studio/window "closed" kept=false of="signals" understood=true z9:restored`)
	assert.ElementsMatch(t, []string{
		"up=true",
		`studio/zone/1/state "{\"state\":\"open\"}" kept=true of="signals" understood=true z1:active`,
		`studio/zone/2/state "{\"state\":\"ajar\"}" kept=false of="signals" understood=false z2:not understood`,
		`studio/window "open" kept=false of="signals" understood=true z9:active`,
		`studio/windows "open" kept=false of="" understood=false`,
		`studio/there "up" kept=false of="presence" understood=true`,
		`studio/there "Up" kept=false of="presence" understood=false`,
		`studio/volt "12.7" kept=false of="supply" understood=true`,
		`studio/volt "much" kept=false of="supply" understood=false`,
		`studio/window "closed" kept=false of="signals" understood=true z9:restored`,
	}, f.all(), "each once")

	s.Stop()
	soon("up=false")
	s, _ = startBroker(t, address)
	require.Eventually(t, func() bool {
		publish("studio/zone/7/state", `{"state":"open"}`, false)
		for _, line := range f.all() {
			if line == `studio/zone/7/state "{\"state\":\"open\"}" kept=false of="signals" understood=true z7:active` {
				return true
			}
		}
		return false
	}, 30*time.Second, 50*time.Millisecond)
	cancel()
	tried := <-ended
	assert.Len(t, tried.Rules[0].Heard, 3)
	assert.Len(t, tried.Others, 1)
	assert.NoError(t, tried.Lost)
}

// A copy for another subscription is the same message within a moment; the same message
// later is another one, and what was kept is told once.
func TestCopies(t *testing.T) {
	tr := &trial{config: &Config{}}
	begin := time.Now()
	for i, tc := range []struct {
		after time.Duration
		m     Message
		again bool
	}{
		{0, Message{Topic: "a", Payload: "x"}, false},
		{19 * time.Millisecond, Message{Topic: "a", Payload: "x"}, true},
		{20 * time.Millisecond, Message{Topic: "a", Payload: "x"}, false},
		{21 * time.Millisecond, Message{Topic: "a", Payload: "y"}, false},
		{22 * time.Millisecond, Message{Topic: "a", Payload: "x"}, false},
		{23 * time.Millisecond, Message{Topic: "b", Payload: "x"}, false},
		{time.Second, Message{Topic: "a", Payload: "x", Kept: true}, false},
		{time.Minute, Message{Topic: "a", Payload: "x", Kept: true}, true},
		{time.Minute, Message{Topic: "a", Payload: "y", Kept: true}, false},
	} {
		tc.m.At = begin.Add(tc.after)
		assert.Equal(t, tc.again, tr.repeated(tc.m), i)
	}
}

// All that the broker lets one read is everything but what is not ours to read.
func TestFollowAll(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	ctx, cancel := context.WithCancel(t.Context())
	f, ended := &follower{}, make(chan bool)
	go func() {
		_, err := Follow(ctx, at(address, SignalRule{Topic: "studio/window"}), clock.Real{}, true, f)
		assert.NoError(t, err)
		close(ended)
	}()
	require.Eventually(t, func() bool {
		require.NoError(t, s.Publish("studio/a/b/c", []byte("x"), false, 0))
		return len(f.all()) > 1
	}, 20*time.Second, 30*time.Millisecond)
	assert.Contains(t, f.all(), `studio/a/b/c "x" kept=false of="" understood=false`)
	cancel()
	<-ended
}
