package signal

import (
	"context"
	"errors"
	"time"

	"loopwitness/commission/site"
)

// Guarded is a Switch that can let somebody else switch an output off if this program is
// no longer there to do it.
type Guarded interface {
	Switch
	// GuardOff returns once an output would be switched off if this program died, stood
	// still, or lost its connection. The guard stands until release is called, which is
	// for when the output is known to be off; Close lets it act where it stands. lost is
	// called once, on a goroutine of its own, if the guard is gone before: it may have
	// switched the output off. An error says why nobody guards it.
	GuardOff(ctx context.Context, o *site.Output, lost func(error)) (release func(), err error)
}

// ErrNoGuard says that what switches an output knows of nobody who could guard it: there is no more to say of why.
var ErrNoGuard = errors.New("nothing else would switch it off")

// GuardedWithin is how long a guarded output may sound after this program is gone: what a
// guard of any source has to keep (commission/listen/mqtt: one and a half times the
// keep-alive, and what a broker takes to look; cmd/loopwitness measures it).
const GuardedWithin = 10 * time.Second
