// Package keyboard is for a controller that speaks no open protocol: the
// technician presses a key when its own indication changes.
package keyboard

import (
	"context"
	"sync"
	"time"

	"loopwitness/commission/signal"
)

// uncertainty of a time that a person stops, expanded (k = 2): hand timing of
// an event that is watched for scatters with 0.07 s about 0.11 s late (Am. J.
// Phys. 87, 110 (2019)); the lateness and twice the scatter together.
const uncertainty = 250 * time.Millisecond

// Keys is the source. It implements signal.Source and signal.KeyTimed.
type Keys struct {
	mu sync.Mutex
	to signal.Receiver
}

// New makes the source.
func New() *Keys { return &Keys{} }

// About describes the source.
func (k *Keys) About() signal.Listening {
	return signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand,
		UncertaintyNS: uncertainty.Nanoseconds(), ByHand: true}
}

// Start keeps the receiver.
func (k *Keys) Start(_ context.Context, to signal.Receiver) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.to = to
	return nil
}

// Close does nothing.
func (k *Keys) Close() error { return nil }

// Press makes the signal of a zone in a state: the key was pressed at that instant.
func (k *Keys) Press(at time.Time, address string, state signal.State) {
	k.mu.Lock()
	to := k.to
	k.mu.Unlock()
	to.Signal(signal.Signal{At: at, Address: address, State: state, Raw: "key"})
}
