package mqtt

import (
	"context"
	"net"
	"net/url"
	"sync/atomic"
	"testing"
	"time"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// scripted is a broker that says what a test wants, byte for byte, and keeps what it was
// told.
type scripted struct {
	granted byte                     // the answer to every subscription
	publish []*packets.PublishPacket // sent after the first subscription
	silent  bool                     // takes a connection and says nothing
	deaf    bool                     // does not confirm what is published
	wills   byte                     // the answer to a connection with a last will
	alone   bool                     // lets one connection stand, the latest
	dumb    atomic.Bool              // answers no PINGREQ
	hangsUp atomic.Bool              // at the first that is published
	told    chan packets.ControlPacket
	last    chan packets.ControlPacket // of each connection with a will
}

func (s *scripted) start(t *testing.T) (address string) {
	t.Helper()
	s.told, s.last = make(chan packets.ControlPacket, 100), make(chan packets.ControlPacket, 100)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	go func() {
		var before net.Conn
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			if before != nil && s.alone {
				_ = before.Close()
			}
			before = c
			go s.serve(c)
		}
	}()
	return l.Addr().String()
}

func (s *scripted) serve(c net.Conn) {
	defer func() { _ = c.Close() }()
	var last packets.ControlPacket
	will := false
	for {
		p, err := packets.ReadPacket(c)
		if err != nil {
			if will {
				s.last <- last
			}
			return
		}
		if _, is := p.(*packets.PingreqPacket); !is { // of which there is no end
			s.told <- p
			last = p
		}
		if connect, is := p.(*packets.ConnectPacket); is {
			will = connect.WillFlag
		}
		if s.silent {
			continue
		}
		if _, is := p.(*packets.PublishPacket); is && s.hangsUp.CompareAndSwap(true, false) {
			return
		}
		for _, answer := range s.answers(p) {
			if answer.Write(c) != nil {
				return
			}
		}
	}
}

func (s *scripted) answers(p packets.ControlPacket) (out []packets.ControlPacket) {
	switch p := p.(type) {
	case *packets.ConnectPacket:
		ack := packets.NewControlPacket(packets.Connack).(*packets.ConnackPacket)
		if p.WillFlag {
			ack.ReturnCode = s.wills
		}
		out = append(out, ack)
	case *packets.PingreqPacket:
		if !s.dumb.Load() {
			out = append(out, packets.NewControlPacket(packets.Pingresp))
		}
	case *packets.SubscribePacket:
		ack := packets.NewControlPacket(packets.Suback).(*packets.SubackPacket)
		ack.MessageID = p.MessageID
		for range p.Topics {
			ack.ReturnCodes = append(ack.ReturnCodes, s.granted)
		}
		out = append(out, ack)
		for _, m := range s.publish {
			out = append(out, m)
		}
	case *packets.PublishPacket:
		if p.Qos > 0 && !s.deaf {
			ack := packets.NewControlPacket(packets.Puback).(*packets.PubackPacket)
			ack.MessageID = p.MessageID
			out = append(out, ack)
		}
	}
	return out
}

// told1 is the next packet of a kind that the broker was told.
func told1[P packets.ControlPacket](t *testing.T, s *scripted) P {
	t.Helper()
	for {
		select {
		case p := <-s.told:
			if p, is := p.(P); is {
				return p
			}
		case <-time.After(10 * time.Second):
			require.Fail(t, "the broker was not told")
		}
	}
}

func published(id uint16, dup, retain bool, qos byte, payload string) *packets.PublishPacket {
	p := packets.NewControlPacket(packets.Publish).(*packets.PublishPacket)
	p.TopicName, p.Payload, p.MessageID, p.Dup, p.Retain, p.Qos = "studio/zone/1/state", []byte(payload), id, dup,
		retain, qos
	return p
}

// A message that the broker sends again (DUP 1, MQTT 3.1.1, 3.3.1.1) may be an old one:
// it is marked as repeated, so that it answers no cue.
func TestMessageSentAgainIsRepeatedNotLive(t *testing.T) {
	s := &scripted{granted: 1, publish: []*packets.PublishPacket{
		published(1, false, false, 1, `{"state":"open"}`), published(2, true, false, 1, `{"state":"closed"}`),
		published(3, true, true, 1, `{"state":"open"}`), published(0, false, false, 0, `{"state":"closed"}`),
	}}
	_, h, err := connect(t, s.start(t), "secret", zoneRule)
	require.NoError(t, err)
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 4 }, 10*time.Second,
		time.Millisecond)
	signals, _ := h.all()
	var kept []string
	for _, sig := range signals {
		kept = append(kept, sig.Kept)
	}
	assert.Equal(t, []string{"", "repeated", "retained", ""}, kept)
}

// What is asked of the broker: MQTT 3.1.1 is level 4 (3.1.2.2); a clean session (3.1.2.4),
// since one that survives would deliver old messages that look live; and every topic.
func TestWhatTheBrokerIsAsked(t *testing.T) {
	s := &scripted{granted: 1}
	address := s.start(t)
	c := New(
		Config{Broker: &url.URL{Scheme: "tcp", Host: address}, User: "witness", Password: "secret",
			Signals:  []SignalRule{zoneRule},
			Presence: &PresenceRule{Topic: "studio/there", Here: "yes", Away: "no"}},
		clock.Real{},
	)
	h := &heard{}
	require.NoError(t, c.Start(t.Context(), h))
	asked := told1[*packets.ConnectPacket](t, s)
	assert.Equal(t, byte(4), asked.ProtocolVersion)
	assert.True(t, asked.CleanSession)
	assert.Equal(t, uint16(5), asked.Keepalive)
	assert.Equal(t, "witness", asked.Username)
	assert.Equal(t, "secret", string(asked.Password))
	assert.Regexp(t, "^loopwitness[0-9a-f]{12}$", asked.ClientIdentifier)
	subscribed := told1[*packets.SubscribePacket](t, s)
	assert.ElementsMatch(t, []string{"studio/zone/+/state", "studio/there"}, subscribed.Topics)
	assert.Equal(t, []byte{0, 0}, subscribed.Qoss, "at most once: a slow disk must not fill the broker's queue")
	require.NoError(t, c.Close())
	told1[*packets.DisconnectPacket](t, s)
	_, connections := h.all()
	assert.Empty(t, connections, "an end on purpose is no loss")
}

// 0x80 in SUBACK is a refusal (MQTT 3.1.1, 3.9.3).
func TestARefusedSubscriptionIsTold(t *testing.T) {
	s := &scripted{granted: 0x80}
	_, _, err := connect(t, s.start(t), "secret", zoneRule)
	assert.ErrorContains(t, err, "refuses the subscription to studio/zone/+/state")
}

// A broker that says nothing can be given up.
func TestGivingASilentBrokerUp(t *testing.T) {
	s := &scripted{silent: true}
	address := s.start(t)
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	c := New(Config{Broker: &url.URL{Scheme: "tcp", Host: address}, Signals: []SignalRule{zoneRule}}, clock.Real{})
	go func() { ended <- c.Start(ctx, &heard{}) }()
	told1[*packets.ConnectPacket](t, s)
	cancel()
	assert.ErrorIs(t, <-ended, context.Canceled)
	require.NoError(t, c.Close())
}

// Outputs are switched at quality 1 and never retained: a retained command would sound
// again when the controller comes back.
func TestWhatSwitchesAnOutput(t *testing.T) {
	s := &scripted{granted: 1}
	c, _, err := connect(t, s.start(t), "secret", zoneRule)
	require.NoError(t, err)
	for on, payload := range map[bool]string{true: "ON", false: "OFF"} {
		require.NoError(t, c.Energise(t.Context(), &site.Output{Address: "siren"}, on))
		p := told1[*packets.PublishPacket](t, s)
		assert.Equal(t, payload, string(p.Payload))
		assert.Equal(t, "studio/siren/set", p.TopicName)
		assert.Equal(t, byte(1), p.Qos)
		assert.False(t, p.Retain)
	}
}

// A command that the broker does not confirm is no success.
func TestACommandThatNobodyConfirms(t *testing.T) {
	s := &scripted{granted: 1, deaf: true}
	c, _, err := connect(t, s.start(t), "secret", zoneRule)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- c.Energise(ctx, &site.Output{Address: "siren"}, true) }()
	told1[*packets.PublishPacket](t, s)
	cancel()
	err = <-ended
	assert.ErrorIs(t, err, context.Canceled)
	assert.ErrorContains(t, err, "does not confirm the command")
}

func TestNothingIsSwitchedWithoutConnection(t *testing.T) {
	c := New(Config{Outputs: []OutputRule{{Address: "siren", Topic: "t", On: "1", Off: "0"}, {Topic: "u"}}}, clock.Real{})
	assert.ErrorContains(t, c.Energise(t.Context(), &site.Output{Address: "siren"}, true), "not connected")
	assert.ErrorContains(t, c.Energise(t.Context(), &site.Output{Name: "Horn", Address: "horn"}, true), `"Horn"`)
	assert.False(t, c.CanEnergise(&site.Output{}), "an output without address")
	assert.NoError(t, c.Close(), "nothing was begun")
}

// Where the controller tells by itself whether it is there, its word counts, and is no
// signal.
func TestPresence(t *testing.T) {
	s := &scripted{granted: 1}
	for _, payload := range []string{"yes", "no", "perhaps"} {
		m := published(0, false, false, 0, payload)
		m.TopicName = "studio/there"
		s.publish = append(s.publish, m)
	}
	s.publish = append(s.publish, published(0, false, false, 0, `{"state":"open"}`))
	c := New(
		Config{Broker: &url.URL{Scheme: "tcp", Host: s.start(t)},
			Signals:  []SignalRule{zoneRule, {Topic: "studio/+", Address: "{1}"}},
			Presence: &PresenceRule{Topic: "studio/there", Here: "yes", Away: "no"}},
		clock.Real{},
	)
	h := &heard{}
	require.NoError(t, c.Start(t.Context(), h))
	t.Cleanup(func() { _ = c.Close() })
	require.Eventually(t, func() bool { signals, _ := h.all(); return len(signals) == 1 }, 10*time.Second,
		time.Millisecond)
	signals, connections := h.all()
	assert.Equal(t, "z1", signals[0].Address)
	assert.Equal(t,
		[]signal.Connection{{Up: true, Why: signal.ControllerUp}, {Up: false, Why: signal.ControllerGone}},
		connections)
}

// A message that the filters of two rules match arrived once: each rule reports it once.
func TestAMessageThatTwoFiltersMatchIsOne(t *testing.T) {
	s := &scripted{granted: 1, publish: []*packets.PublishPacket{published(0, false, false, 0, `{"state":"open"}`),
		published(0, false, false, 0, `{"state":"closed"}`)}}
	own := zoneRule
	own.Topic, own.Address = "studio/zone/1/state", "door"
	_, h, err := connect(t, s.start(t), "secret", zoneRule, own)
	require.NoError(t, err)
	require.Eventually(t, func() bool {
		signals, _ := h.all()
		return len(signals) > 0 && signals[len(signals)-1].Address == "door" &&
			signals[len(signals)-1].State == signal.Restored
	}, 10*time.Second, time.Millisecond)
	signals, _ := h.all()
	var got []string
	for _, sig := range signals {
		got = append(got, sig.Address+" "+string(sig.State))
	}
	assert.Equal(t, []string{"z1 active", "door active", "z1 restored", "door restored"}, got)
}
