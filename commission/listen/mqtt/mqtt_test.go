package mqtt

import (
	"context"
	"net/url"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/testbroker"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

var zoneRule = SignalRule{Topic: "studio/zone/+/state", Address: "z{1}", Rule: payload.Rule{Value: "/state",
	States: map[signal.State][]string{signal.Active: {"open", "1"}, signal.Restored: {"closed", "0"}}}}

// startBroker runs an in-process broker that knows one user.
func startBroker(t *testing.T, address string) (s *testbroker.Broker, at string) {
	t.Helper()
	s = testbroker.Run(t, testbroker.Options{Address: address, User: "witness", Password: "secret"})
	return s, s.Address
}

// heard collects what a source delivers.
type heard struct {
	mu          sync.Mutex
	signals     []signal.Signal
	connections []signal.Connection
}

func (h *heard) Signal(s signal.Signal) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.signals = append(h.signals, s)
}

func (h *heard) Connection(c signal.Connection) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.connections = append(h.connections, c)
}

func (h *heard) all() ([]signal.Signal, []signal.Connection) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return append([]signal.Signal{}, h.signals...), append([]signal.Connection{}, h.connections...)
}

func connect(t *testing.T, address, password string, rules ...SignalRule) (*Controller, *heard, error) {
	t.Helper()
	c := New(Config{Broker: &url.URL{Scheme: "tcp", Host: address}, User: "witness", Password: password, Signals: rules,
		Outputs: []OutputRule{{Address: "siren", Topic: "studio/siren/set", On: "ON", Off: "OFF"}}}, clock.Real{})
	h := &heard{}
	err := c.Start(context.Background(), h)
	t.Cleanup(func() { _ = c.Close() })
	return c, h, err
}

// MQTT-3.3.1-8 and -9: a message kept by the broker has RETAIN 1 for a new
// subscription and is state; one that is published as retained later is live.
func TestRetainedMessagesAreState(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	require.NoError(t, s.Publish("studio/zone/1/state", []byte(`{"state":"open"}`), true, 1))
	_, h, err := connect(t, address, "secret", zoneRule)
	require.NoError(t, err)
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 1 }, 5*time.Second, time.Millisecond)
	require.NoError(t, s.Publish("studio/zone/1/state", []byte(`{"state":"closed"}`), true, 1))
	require.NoError(t, s.Publish("studio/zone/2/state", []byte(`{"state":1}`), false, 1))
	require.NoError(t, s.Publish("studio/zone/2/state", []byte(`{"state":"ajar"}`), false, 0))
	require.NoError(t, s.Publish("studio/other", []byte(`{"state":"open"}`), false, 0))
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 4 }, 5*time.Second, time.Millisecond)
	signals, _ := h.all()
	type seen struct {
		address string
		state   signal.State
		kept    string
	}
	var got []seen
	for _, sig := range signals {
		got = append(got, seen{sig.Address, sig.State, sig.Kept})
		assert.WithinDuration(t, time.Now(), sig.At, 10*time.Second)
	}
	assert.Equal(
		t,
		[]seen{{"z1", signal.Active, "retained"}, {"z1", signal.Restored, ""}, {"z2", signal.Active, ""},
			{"z2", signal.NotUnderstood, ""}},
		got,
	)
	assert.Equal(t, `"{\"state\":\"ajar\"}"`, signals[3].Raw)
}

// A quality above 0 delivers nothing more in a clean session, and delays what waits
// for acknowledgements.
func TestSubscribesAtQualityZero(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	_, _, err := connect(t, address, "secret", zoneRule)
	require.NoError(t, err)
	all := s.Topics.Subscribers("studio/zone/1/state").Subscriptions
	require.Len(t, all, 1)
	for _, subscription := range all {
		assert.Zero(t, subscription.Qos)
	}
}

// Signals are stamped by the clock that the visit has.
func TestStampsByTheClockThatIsGiven(t *testing.T) {
	noon := time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)
	h := &heard{}
	c := New(Config{Signals: []SignalRule{zoneRule}}, clock.NewSimulated(noon))
	c.to = h
	c.message(nil, received{"studio/zone/1/state", `{"state":"open"}`})
	signals, _ := h.all()
	require.Len(t, signals, 1)
	assert.Equal(t, noon, signals[0].At)
}

// received is a live message.
type received struct{ topic, payload string }

func (m received) Topic() string     { return m.topic }
func (m received) Payload() []byte   { return []byte(m.payload) }
func (m received) Duplicate() bool   { return false }
func (m received) Qos() byte         { return 0 }
func (m received) Retained() bool    { return false }
func (m received) MessageID() uint16 { return 0 }
func (m received) Ack()              {}

func TestWrongPasswordIsRefusedWithoutShowingIt(t *testing.T) {
	_, address := startBroker(t, "127.0.0.1:0")
	_, _, err := connect(t, address, "hunter2", zoneRule)
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "hunter2")
}

func TestNoBrokerIsToldWithItsAddress(t *testing.T) {
	address := freeaddress.Of(t)
	_, _, err := connect(t, address, "secret", zoneRule)
	assert.ErrorContains(t, err, address)
}

// After a broker restart the source is connected and subscribed again.
func TestReconnects(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	_, h, err := connect(t, address, "secret", zoneRule)
	require.NoError(t, err)
	s.Stop()
	require.Eventually(t, func() bool { _, c := h.all(); return len(c) > 0 && !c[0].Up }, 20*time.Second,
		5*time.Millisecond)
	again, _ := startBroker(t, address)
	require.Eventually(t, func() bool { _, c := h.all(); return len(c) > 1 && c[len(c)-1].Up }, 20*time.Second,
		5*time.Millisecond)
	require.NoError(t, again.Publish("studio/zone/3/state", []byte(`{"state":"open"}`), false, 1))
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 1 }, 5*time.Second, time.Millisecond)
}

func TestEnergise(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	c, _, err := connect(t, address, "secret", zoneRule)
	require.NoError(t, err)
	siren, chime := &site.Output{Name: "Siren", Address: "siren"}, &site.Output{Name: "Chime", Address: "chime"}
	assert.True(t, c.CanEnergise(siren))
	assert.False(t, c.CanEnergise(chime))
	require.NoError(t, c.Energise(context.Background(), siren, true))
	require.NoError(t, c.Energise(context.Background(), siren, false))
	assert.Error(t, c.Energise(context.Background(), chime, true))
	s.Stop()
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	assert.Error(t, c.Energise(ended, siren, true))
}

func TestMatch(t *testing.T) {
	captured, ok := payload.Match("studio/+/zone/+", "studio/north/zone/7")
	assert.True(t, ok)
	assert.Equal(t, []string{"north", "7"}, captured)
	_, ok = payload.Match("studio/+", "studio/a/b")
	assert.False(t, ok)
}
