package mqtt

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// mute is a connection whose broker never confirms a subscription, and that is lost
// after so many of them.
type mute struct {
	paho.Client
	left int
}

func (m *mute) IsConnectionOpen() bool { return m.left > 0 }

func (m *mute) SubscribeMultiple(map[string]byte, paho.MessageHandler) paho.Token {
	m.left--
	return &paho.SubscribeToken{}
}

// Connected again is only who hears again: it is tried anew every two seconds, ten
// seconds at most each, while the connection lasts.
func TestConnectedAgainOnlyWithTopics(t *testing.T) {
	down := func(detail string) signal.Connection { return signal.Connection{Why: signal.Broken, Detail: detail} }
	up := []signal.Connection{{Up: true, Why: signal.BackAgain}}
	const unconfirmed = "the broker does not confirm the subscription"
	for name, tc := range map[string]struct {
		config Config
		err    error
		left   int
		told   []signal.Connection
		took   time.Duration
	}{
		"subscribed":             {Config{}, nil, 1, up, 0},
		"the controller says so": {Config{Presence: &PresenceRule{}}, nil, 1, nil, 0},
		"lost again":             {Config{}, errors.New("no"), 0, nil, 0},
		"not confirmed, and lost": {Config{}, errors.New("no"), 2, []signal.Connection{down("no"), down(unconfirmed)},
			24 * time.Second},
	} {
		synctest.Test(t, func(t *testing.T) {
			c, h := New(tc.config, clock.Real{}), &heard{}
			c.to = h
			begun := time.Now()
			c.connectedAgain(&mute{left: tc.left}, tc.err)
			assert.Equal(t, tc.took, time.Since(begun), name)
			_, told := h.all()
			assert.ElementsMatch(t, tc.told, told, name)
		})
	}
}

// A command given while the connection is lost is refused: kept back, it would sound
// when nobody expects it any more.
func TestNoCommandIsKeptForLater(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	c, h, err := connect(t, address, "secret", zoneRule)
	require.NoError(t, err)
	s.Stop()
	require.Eventually(t, func() bool { _, told := h.all(); return len(told) > 0 && !told[0].Up }, 20*time.Second,
		time.Millisecond)
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	assert.ErrorContains(t, c.Energise(ctx, &site.Output{Address: "siren"}, true), "not connected to the broker")
}
