package signal

import (
	"context"
	"errors"
)

// Keeper is a Receiver that tells when what it was given is durable, for a source whose sender wants
// to know.
type Keeper interface {
	// Kept returns how to wait until all that was delivered so far is durable: until then, until the
	// context ends, or until the journal has failed. The error is ErrNotKept where something was lost
	// that was delivered since Kept was called last; it was counted.
	Kept() (wait func(context.Context) error, err error)
}

// ErrNotKept says that there was no room for a signal.
var ErrNotKept = errors.New("signals come faster than they can be written")
