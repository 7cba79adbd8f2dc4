package mqtt

import (
	"context"
	"errors"
	"net"
	"testing"
	"testing/synctest"
	"time"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

var theSiren = &site.Output{Name: "Siren", Address: "siren"}

// A connection of its own carries the command off as its last will, and is acknowledged
// before the output can be energised; over it the output is switched, and it takes leave
// with DISCONNECT, which discards the will (MQTT 3.1.1, 3.1.2.5, 3.14.4; from memory).
func TestAnOutputIsGuardedByALastWill(t *testing.T) {
	s := &scripted{granted: 1}
	c, _, err := connect(t, s.start(t), "secret", zoneRule)
	require.NoError(t, err)
	main := told1[*packets.ConnectPacket](t, s)
	assert.False(t, main.WillFlag)
	release, err := c.GuardOff(t.Context(), theSiren, func(err error) { t.Error("lost", err) })
	require.NoError(t, err)
	own := told1[*packets.ConnectPacket](t, s)
	assert.True(t, own.WillFlag)
	assert.Equal(t, "studio/siren/set", own.WillTopic)
	assert.Equal(t, "OFF", string(own.WillMessage))
	assert.Equal(t, byte(1), own.WillQos)
	assert.False(t, own.WillRetain, "a command that is kept would switch it off when it is meant to be on")
	assert.Equal(t, uint16(2), own.Keepalive, "a process that was stopped is noticed within 4.5 s")
	assert.True(t, own.CleanSession)
	assert.Regexp(t, "^loopwitness[0-9a-f]{12}$", own.ClientIdentifier)
	assert.NotEqual(t, main.ClientIdentifier, own.ClientIdentifier)
	assert.Equal(t, "secret", string(own.Password))
	require.NoError(t, c.Energise(t.Context(), theSiren, true))
	assert.Equal(t, "ON", string(told1[*packets.PublishPacket](t, s).Payload))
	require.NoError(t, c.Energise(t.Context(), theSiren, false))
	assert.Equal(t, "OFF", string(told1[*packets.PublishPacket](t, s).Payload))
	release()
	assert.IsType(t, &packets.DisconnectPacket{}, <-s.last)
	assert.Nil(t, c.guardOf(c.config.Output(theSiren)))
}

// Why nobody guards an output is told.
func TestWhereNoWillCanBeHad(t *testing.T) {
	s := &scripted{granted: 1, wills: packets.ErrRefusedNotAuthorised}
	c, _, err := connect(t, s.start(t), "secret", zoneRule)
	require.NoError(t, err)
	none := func(error) { t.Error("what never stood is not lost") }
	_, err = c.GuardOff(t.Context(), theSiren, none)
	assert.ErrorIs(t, err, packets.ErrorRefusedNotAuthorised)
	assert.ErrorContains(t, err, "the broker takes no last will")
	_, err = c.GuardOff(t.Context(), &site.Output{Address: "horn"}, none)
	assert.ErrorIs(t, err, errNotOurs)
	c.config.Outputs[0].NoLastWill = true
	_, err = c.GuardOff(t.Context(), theSiren, none)
	assert.ErrorIs(t, err, errNotWanted)
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	c.config.Outputs[0].NoLastWill = false
	_, err = c.GuardOff(ended, theSiren, none)
	assert.ErrorIs(t, err, context.Canceled)
}

// The further connection is tried beside the main one, with what the broker has kept.
func TestTryingWhetherAnOutputWouldBeGuarded(t *testing.T) {
	try := func(s *scripted) error {
		config := at(s.start(t), zoneRule)
		config.Outputs = []OutputRule{{Address: "siren", Topic: "studio/siren/set", On: "ON", Off: "OFF"}}
		err := TryGuard(t.Context(), config, clock.Real{}, theSiren)
		for range len(s.told) {
			_, is := (<-s.told).(*packets.PublishPacket)
			assert.False(t, is, "nothing is published")
		}
		return err
	}
	s := &scripted{granted: 1, publish: []*packets.PublishPacket{published(1, false, true, 0, `{"state":"open"}`)}}
	require.NoError(t, try(s))
	assert.IsType(t, &packets.DisconnectPacket{}, <-s.last)
	assert.ErrorIs(t, try(&scripted{granted: 1, wills: packets.ErrRefusedNotAuthorised}),
		packets.ErrorRefusedNotAuthorised)
	assert.ErrorContains(t, try(&scripted{granted: 1, wills: 0x87}), "refuses with code 135") // as MQTT 5 refuses
	assert.ErrorContains(t, try(&scripted{granted: 1, alone: true}), "does not let two connections stand")
}

// What is confirmed too late for anybody to wait does not hide what is confirmed after it.
func TestTheLatestCommandIsConfirmed(t *testing.T) {
	ours, theirs := net.Pipe()
	g := &guard{conn: ours, acks: make(chan uint16, 1)}
	heard := make(chan error)
	go func() { heard <- g.hear() }()
	for id := range uint16(3) {
		ack := packets.NewControlPacket(packets.Puback).(*packets.PubackPacket)
		ack.MessageID = id
		require.NoError(t, ack.Write(theirs))
	}
	require.NoError(t, theirs.Close())
	require.Error(t, <-heard)
	assert.EqualValues(t, 2, <-g.acks)
}

// A guard whose broker is gone is lost, once, and is asked for nothing more.
func TestAGuardThatIsLostIsTold(t *testing.T) {
	s, address := startBroker(t, "127.0.0.1:0")
	c, _, err := connect(t, address, "secret", zoneRule)
	require.NoError(t, err)
	lost := make(chan error, 10)
	release, err := c.GuardOff(t.Context(), theSiren, func(err error) { lost <- err })
	require.NoError(t, err)
	s.Stop()
	assert.Error(t, <-lost)
	assert.Nil(t, c.guardOf(c.config.Output(theSiren)))
	release()
	assert.Empty(t, lost)
}

// Without leave the guard acts: at the end of the source, and where a command may still
// be on its way.
func TestWhatTakesNoLeave(t *testing.T) {
	for name, leave := range map[string]func(*Controller, func()){
		"closed":             func(c *Controller, _ func()) { assert.NoError(t, c.Close()) },
		"a command is about": func(_ *Controller, release func()) { release() },
	} {
		s := &scripted{granted: 1, deaf: true}
		c, _, err := connect(t, s.start(t), "secret", zoneRule)
		require.NoError(t, err)
		release, err := c.GuardOff(t.Context(), theSiren, func(err error) { t.Error("lost", err) })
		require.NoError(t, err)
		short, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
		assert.ErrorIs(t, c.Energise(short, theSiren, true), context.DeadlineExceeded)
		cancel()
		leave(c, release)
		assert.IsType(t, &packets.PublishPacket{}, <-s.last, name)
		assert.Eventually(t, func() bool { return c.guardOf(c.config.Output(theSiren)) == nil }, 5*time.Second,
			time.Millisecond, name)
	}
}

// A guard speaks every second, and is lost when the broker says nothing for four.
func TestAGuardSpeaksAndListens(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ours, theirs := net.Pipe()
		lost := make(chan time.Duration, 1)
		began := time.Now()
		c := New(Config{}, clock.Real{})
		g := &guard{conn: ours, gone: make(chan struct{}), acks: make(chan uint16, 1),
			lost: func(err error) { assert.ErrorIs(t, err, errSilent); lost <- time.Since(began) }}
		c.guards[g] = true
		go c.keep(g)
		for i := 1; ; i++ {
			p, err := packets.ReadPacket(theirs)
			if err != nil {
				break
			}
			assert.IsType(t, &packets.PingreqPacket{}, p)
			assert.Equal(t, time.Duration(i)*time.Second, time.Since(began))
			if i <= 3 {
				require.NoError(t, packets.NewControlPacket(packets.Pingresp).Write(theirs))
			}
		}
		assert.Equal(t, 7*time.Second, <-lost)
		assert.Empty(t, c.guards)
	})
}

// Off goes the second way where the first takes long or fails; each alone is enough.
func TestEitherWay(t *testing.T) {
	after := func(d time.Duration, err error) func() error {
		return func() error { time.Sleep(d); return err }
	}
	no, never := errors.New("no"), time.Hour
	for name, tc := range map[string]struct {
		first, second func() error
		took          time.Duration
		fails         bool
	}{
		"the first":           {after(0, nil), after(never, no), 0, false},
		"the first fails":     {after(0, no), after(time.Second, nil), time.Second, false},
		"the first hangs":     {after(never, no), after(time.Second, nil), secondWay + time.Second, false},
		"the second hangs":    {after(2*time.Second, nil), after(never, no), 2 * time.Second, false},
		"both fail":           {after(0, no), after(0, no), 0, true},
		"both fail, the slow": {after(time.Second, no), after(0, no), time.Second, true},
	} {
		synctest.Test(t, func(t *testing.T) {
			began := time.Now()
			err := either(tc.first, tc.second)
			assert.Equal(t, tc.fails, err != nil, name)
			assert.Equal(t, tc.took, time.Since(began), name)
			time.Sleep(2 * never)
		})
	}
}

// A command that was on its way when the connection was lost is not given once more when
// it is back: the sounder would begin when nobody expects it. And whoever comes back has
// another name, since the old one may be somebody else's now.
func TestATakeoverStormNeitherRepeatsCommandsNorLasts(t *testing.T) {
	s := &scripted{granted: 1}
	s.hangsUp.Store(true)
	c, h, err := connect(t, s.start(t), "secret", zoneRule)
	require.NoError(t, err)
	before := told1[*packets.ConnectPacket](t, s)
	short, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	assert.Error(t, c.Energise(short, theSiren, true))
	assert.Equal(t, "ON", string(told1[*packets.PublishPacket](t, s).Payload))
	again := told1[*packets.ConnectPacket](t, s)
	assert.NotEqual(t, before.ClientIdentifier, again.ClientIdentifier)
	require.Eventually(t, func() bool { _, told := h.all(); return len(told) > 1 && told[len(told)-1].Up },
		10*time.Second, time.Millisecond)
	require.NoError(t, c.Energise(t.Context(), theSiren, false))
	assert.Equal(t, "OFF", string(told1[*packets.PublishPacket](t, s).Payload))
}

var _ signal.Guarded = &Controller{}
