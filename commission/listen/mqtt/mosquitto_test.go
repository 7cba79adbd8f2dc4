package mqtt

import (
	"net"
	"os/exec"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/kit/testbroker"
	"loopwitness/commission/signal"
)

// The same rules hold against a broker and a publisher that are not ours.
func TestAgainstMosquitto(t *testing.T) {
	broker, pub := testbroker.Mosquitto(t).Host, outsidetool.Find(t, "mosquitto_pub")
	host, port, err := net.SplitHostPort(broker)
	require.NoError(t, err)
	publish := func(args ...string) {
		t.Helper()
		to := []string{"-h", host, "-p", port, "-q", "1", "-t", "studio/zone/1/state", "-m"}
		out, err := exec.Command(pub, append(to, args...)...).CombinedOutput()
		require.NoError(t, err, string(out))
	}
	publish(`{"state":"open"}`, "-r")
	_, h, err := connect(t, broker, "", zoneRule)
	require.NoError(t, err)
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 1 }, 10*time.Second,
		time.Millisecond)
	publish(`{"state":"closed"}`, "-r")
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 2 }, 10*time.Second,
		time.Millisecond)
	signals, _ := h.all()
	assert.Equal(t, "retained", signals[0].Kept)
	assert.Equal(t, signal.Active, signals[0].State)
	assert.Empty(t, signals[1].Kept, "published as retained, but after we subscribed: live")
	assert.Equal(t, signal.Restored, signals[1].State)

	// What the controller says of itself: the broker's copy is kept, what follows is live.
	config := at(broker, zoneRule)
	config.System = []SystemRule{{Aspect: signal.MainsFault, Topic: "studio/zone/+/state", Value: "/state",
		Present: []string{"failed"}, Absent: []string{"closed"}}, {Aspect: signal.Alarm, Topic: "studio/alarm",
		Present: []string{"on"}, Absent: []string{"off"}}}
	itself, c := &selfish{}, New(config, clock.Real{})
	require.NoError(t, c.Start(t.Context(), itself))
	t.Cleanup(func() { _ = c.Close() })
	require.Eventually(t, func() bool { return len(itself.all()) == 1 }, 10*time.Second, time.Millisecond)
	publish(`{"state":"failed"}`)
	require.Eventually(t, func() bool { return len(itself.all()) == 2 }, 10*time.Second, time.Millisecond)
	was, is := itself.all()[0], itself.all()[1]
	assert.Equal(t, signal.Retained, was.Kept)
	assert.False(t, was.Present)
	assert.Empty(t, is.Kept)
	assert.True(t, is.Present)
	looked, err := Try(t.Context(), config, clock.Real{}, 300*time.Millisecond)
	require.NoError(t, err)
	assert.Equal(t, []signal.Aspect{signal.Alarm, signal.MainsFault}, looked.Tells)
	if assert.Len(t, looked.Rules, 2) && assert.Len(t, looked.Rules[0].Heard, 1) {
		assert.Equal(t, []signal.Aspect{signal.MainsFault}, looked.Rules[0].Heard[0].Aspects)
		assert.Equal(t, RuleTried{Topic: "studio/alarm"}, looked.Rules[1], "nothing ever came")
	}

	// A topic that nothing ever comes from, and what comes beside it.
	tried, err := Try(t.Context(), at(broker, SignalRule{Topic: "studio/z1/state", Address: "z1"}),
		clock.Real{}, 300*time.Millisecond)
	require.NoError(t, err)
	assert.Equal(t, []RuleTried{{Topic: "studio/z1/state"}}, tried.Rules)
	assert.Equal(t, []Heard{{Topic: "studio/zone/1/state", Payload: `"{\"state\":\"closed\"}"`}}, tried.Others)
	assert.False(t, tried.Blind)
}
