package keyboard

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/signal"
)

type heard []signal.Signal

func (h *heard) Signal(s signal.Signal)       { *h = append(*h, s) }
func (h *heard) Connection(signal.Connection) {}

// A key is a live signal of the instant in which it was pressed, and is told to be
// timed by hand.
func TestKeysAreSignals(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := New()
		var got heard
		require.NoError(t, k.Start(t.Context(), &got))
		first := time.Now()
		k.Press(time.Now(), "z1", signal.Active)
		time.Sleep(3 * time.Second) // of the bubble's own time
		k.Press(time.Now(), "z1", signal.Restored)
		assert.Equal(t, heard{{At: first, Address: "z1", State: signal.Active, Raw: "key"},
			{At: first.Add(3 * time.Second), Address: "z1", State: signal.Restored, Raw: "key"}}, got)
		assert.NoError(t, k.Close())
	})
}

// The receiver may press again while it takes a key: nothing is held meanwhile.
type pressing struct {
	keys *Keys
	heard
}

func (p *pressing) Signal(s signal.Signal) {
	p.heard.Signal(s)
	if len(p.heard) == 1 {
		p.keys.Press(time.Now(), "z2", signal.Active)
	}
}

func TestAReceiverMayPress(t *testing.T) {
	k := New()
	p := &pressing{keys: k}
	require.NoError(t, k.Start(context.Background(), p))
	k.Press(time.Now(), "z1", signal.Active)
	assert.Len(t, p.heard, 2)
}

// Hand timing: 0.11 s late with a scatter of 0.07 s (Am. J. Phys. 87, 110 (2019), as the
// package cites it; not looked up again): 0.11 + 2 × 0.07 = 0.25 s.
func TestAbout(t *testing.T) {
	about := New().About()
	assert.Equal(t, (250 * time.Millisecond).Nanoseconds(), about.UncertaintyNS)
	assert.True(t, about.ByHand)
	assert.False(t, about.Simulated)
	assert.Equal(t, signal.ByHand, about.TimedBy)
}
