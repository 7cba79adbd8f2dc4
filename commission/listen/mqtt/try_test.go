package mqtt

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

func at(address string, rules ...SignalRule) Config {
	return Config{Broker: &url.URL{Scheme: "tcp", Host: address}, User: "witness", Password: "secret", Signals: rules}
}

var windowRule = SignalRule{Topic: "studio/window", Address: "z9", Rule: payload.Rule{
	States: map[signal.State][]string{signal.Active: {"open"}, signal.Restored: {"closed"}}}}

// tryUntil tries a map until something was published by the test and came.
func tryUntil(t *testing.T, c Config, publish func(), came func(Tried) bool) Tried {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var tried Tried
	require.Eventually(t, func() bool {
		once, stop := context.WithCancel(ctx)
		defer stop()
		by := &waking{Real: clock.Real{}, ready: publish}
		var err error
		tried, err = Try(once, c, by, 200*time.Millisecond)
		require.NoError(t, err)
		return came(tried)
	}, 20*time.Second, time.Millisecond)
	return tried
}

// waking publishes when the listening begins.
type waking struct {
	clock.Real
	ready func()
}

func (w *waking) AfterFunc(d time.Duration, f func()) func() {
	w.ready()
	return w.Real.AfterFunc(d, f)
}

// What was kept, what came live, what no zone's rule knows, and what stands beside the
// map are told apart.
func TestTry(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	publish := func(topic, text string, kept bool) { require.NoError(t, s.Publish(topic, []byte(text), kept, 0)) }
	publish("studio/zone/1/state", `{"state":"open"}`, true)
	publish("studio/zone7/state", "\x1b[31m"+strings.Repeat("x", 100), true)
	publish("elsewhere/zone", "secret of others", true)
	c := at(address, zoneRule, windowRule)
	c.Presence = &PresenceRule{Topic: "studio/there", Here: "up", Away: "down"}
	tried := tryUntil(t, c, func() {
		publish("studio/zone/2/state", `{"state":"ajar"}`, false)
		publish("studio/there", "UP", false)
	}, func(t Tried) bool {
		return len(t.Rules[0].Heard) == 2 && len(t.Rules[2].Heard) == 1 && len(t.Others) == 1
	})
	assert.Equal(t, []RuleTried{
		{"studio/zone/+/state", []Heard{
			{"studio/zone/1/state", false, `"{\"state\":\"open\"}"`, []string{"z1"}, "", nil},
			{"studio/zone/2/state", true, `"{\"state\":\"ajar\"}"`, []string{"z2"}, `"{\"state\":\"ajar\"}"`, nil}}},
		{"studio/window", nil},
		{"studio/there", []Heard{{"studio/there", true, `"UP"`, nil, `"UP"`, nil}}},
	}, tried.Rules)
	assert.Equal(t, []Heard{{"studio/zone7/state", false,
		`"\x1b[31m` + strings.Repeat("x", mostShown-5) + `"…`, nil, "", nil}}, tried.Others)
	assert.False(t, tried.More)
	assert.NoError(t, tried.Lost)
}

// However much stands beside the map, what is told of it is bounded.
func TestTryIsBounded(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	for i := range mostTopics + 5 {
		require.NoError(t, s.Publish(fmt.Sprintf("studio/other/%d", i), []byte("x"), true, 0))
	}
	tried := tryUntil(t, at(address, windowRule), func() {}, func(t Tried) bool { return t.More })
	assert.Len(t, tried.Others, mostTopics)
}

// Who may read the map and nothing beside it is told so.
func TestTryBlind(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		client := &trial{config: &Config{Signals: []SignalRule{windowRule}}}
		client.lookAround(&mute{left: 1})
		assert.True(t, client.blind)
	})
}

func TestAround(t *testing.T) {
	for topics, want := range map[string][]string{
		"studio/z1/state": {"studio/#"}, "studio/z1 studio/z2": {"studio/#"}, "door": {"+"}, "+/state": {},
		"/a/b": {}, "$SYS/a": {}, "a/b door": {"a/#", "+"},
	} {
		var c Config
		for topic := range strings.FieldsSeq(topics) {
			c.Signals = append(c.Signals, SignalRule{Topic: topic})
		}
		got := []string{}
		for filter := range c.around() {
			got = append(got, filter)
		}
		assert.ElementsMatch(t, want, got, topics)
	}
}

// A broker that refuses, is not there, or speaks otherwise: each is told with what to
// do, and nothing of it holds a password.
func TestTryFails(t *testing.T) {
	_, known := startBroker(t, "127.0.0.1:0")
	closed := freeaddress.Of(t)
	refused := (&scripted{granted: 0x80}).start(t)
	wrong := at(known, zoneRule)
	wrong.Password = "hunter2"
	overTLS := at(known, zoneRule)
	overTLS.Broker = &url.URL{Scheme: "tls", Host: known}
	_, u, _ := tlsBroker(t)
	plain := at(u.Host, zoneRule)
	noAuthority := overTLS
	noAuthority.CAFile = t.TempDir() + "/none.pem"
	for name, tc := range map[string]struct {
		config Config
		advice string
	}{
		"a wrong password":      {wrong, "check user and password"},
		"nothing listens":       {at(closed, zoneRule), "nothing listens at this port"},
		"no such host":          {at("no-such-host.invalid:1883", zoneRule), "no such host"},
		"no TLS there":          {overTLS, "write tcp:// if"},
		"TLS there":             {plain, "write tls:// if"},
		"no authority's file":   {noAuthority, "check the path in ca_file"},
		"topics are not to see": {at(refused, zoneRule), "has to let you read the topics"},
	} {
		_, err := Try(t.Context(), tc.config, clock.Real{}, time.Second)
		if assert.Error(t, err, name) {
			assert.Contains(t, tc.config.Advice(err), tc.advice, "%s: %v", name, err)
			assert.NotContains(t, err.Error()+tc.config.Advice(err), "hunter2", name)
		}
	}
	for err, says := range map[error]string{packets.ErrorRefusedIDRejected: "MQTT 3.1.1", errNoAnswer: "nothing answers",
		fs.ErrNotExist: "ca_file", errors.New("else"): "check broker", os.ErrDeadlineExceeded: "nothing answers"} {
		assert.Contains(t, overTLS.Advice(fmt.Errorf("connect: %w", err)), says)
	}
}

// A certificate that is not trusted, and one for another name, have their own advice.
func TestTryUntrusted(t *testing.T) {
	_, u, ca := tlsBroker(t)
	c := Config{Broker: u, Signals: []SignalRule{zoneRule}}
	_, err := Try(t.Context(), c, clock.Real{}, time.Second)
	assert.Contains(t, c.Advice(err), "name its PEM file as ca_file", "%v", err)
	u.Host, c.CAFile = "127.0.0.1:"+u.Port(), ca
	_, err = Try(t.Context(), c, clock.Real{}, time.Second)
	assert.Contains(t, c.Advice(err), "for another name", "%v", err)
}

// Ended early, what came so far is told; a connection that is lost as well.
func TestTryEnds(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	ctx, cancel := context.WithCancel(t.Context())
	tried, err := Try(ctx, at(address, zoneRule), &waking{ready: cancel}, time.Hour)
	require.NoError(t, err)
	assert.Len(t, tried.Rules, 1)
	assert.NoError(t, tried.Lost)
	tried, err = Try(t.Context(), at(address, zoneRule), &waking{ready: s.Stop}, time.Hour)
	require.NoError(t, err)
	assert.Error(t, tried.Lost)
	_, err = Try(ctx, at(address, zoneRule), clock.Real{}, time.Hour)
	assert.Error(t, err)
}
