package phone

import (
	"net/http"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/ask"
)

// What was taken, or was too late, stays so under its key; what was refused is tried anew.
func TestOutcomesByTheirKeys(t *testing.T) {
	var all outcomes
	did := 0
	for _, tc := range []struct {
		key   string
		r     reply
		again int
	}{{"taken", ok, 1}, {"stale", stale, 1}, {"refused", refused(409, nil), 2},
		{"later", reply{taken: Taken{Later: true}}, 2}} {
		did = 0
		for range 2 {
			got := all.once(tc.key, func() reply { did++; return tc.r })
			assert.Equal(t, tc.r.taken, got.taken, tc.key)
		}
		assert.Equal(t, tc.again, did, tc.key)
	}
}

// What stands is the technician's to see. Whoever looks on sees the board and what was told; the
// customer nothing but what they are asked.
func TestWhoSeesWhat(t *testing.T) {
	technician, onlooker := &session{role: Technician}, &session{role: Onlooker}
	customer := &session{role: Technician, digits: &hash{}}
	for name, sees := range map[string][]bool{
		EventTalk: {true, true, true}, EventTaken: {true, true, true}, EventGone: {true, true, true},
		EventStatus: {true, false, false}, EventBoard: {true, true, false}, EventZone: {true, true, false},
		EventNotice: {true, true, false},
	} {
		assert.Equal(t, sees, []bool{technician.sees(name), onlooker.sees(name), customer.sees(name)}, name)
	}
}

// Neither the phone that holds the questions nor one in the customer's hand gives way to another.
func TestPhonesInUseAreNotForgotten(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		for i, of := range []*session{{}, {digits: &hash{}}, {device: "the oldest of those"}, {device: "another"}} {
			of.cookie, of.heard = hash{byte(i)}, time.Now().Add(time.Duration(i)*time.Second)
			if s.sessions[of.cookie] = of; i == 0 {
				s.holder = of
			}
		}
		time.Sleep(2*beatEvery + 3*time.Second)
		s.forgetOne(Technician)
		assert.Len(t, s.sessions, 3)
		assert.Nil(t, s.sessions[hash{2}])
		s.forgetOne(Technician)
		assert.Len(t, s.sessions, 3, "the other was heard of just now")
		time.Sleep(time.Hour)
		s.forgetOne(Technician)
		s.forgetOne(Technician)
		assert.Len(t, s.sessions, 2)
	})
}

// A phone is not silent where the terminal has the questions, even if it held them before.
func TestNoSilenceAtTheTerminal(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		assert.Equal(t, http.StatusOK, c.pair(s.tokens.Onlooker, "a phone"))
		time.Sleep(time.Minute)
		assert.Equal(t, time.Minute, s.Silent())
		s.TakeBack()
		assert.Zero(t, s.Silent())
	})
}

// A touch that was kept in a walk waits while the next detector is prepared: it is refused by no
// wait that does not offer it.
func TestAKeptTouchWaitsForItsWalk(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		time.Sleep(time.Minute)
		_, ready := s.watched(at("1.1"))
		defer ready.Close()
		tap := &Tap{DeviceNS: int64(time.Second), By: "touch", Run: s.run, HeldNS: int64(time.Minute)}
		code, taken := c.send("/press", Touched{Key: s.key(), Press: string(ask.Touch), Tap: tap})
		assert.Equal(t, http.StatusServiceUnavailable, code)
		assert.Equal(t, Taken{Later: true}, taken)
	})
}
