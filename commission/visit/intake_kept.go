package visit

import (
	"context"

	"loopwitness/commission/signal"
)

// keeping is who waits until arrivals are durable. All whose arrivals share a sync are told by it.
type keeping struct {
	came, taken uint64 // arrivals since the beginning; those that were handed over to be written
	written     uint64 // those whose write has ended
	lost        bool   // something was, since somebody asked last
	failed      error  // what the last write came to
	waiters     []waiter
}

type waiter struct {
	came uint64 // with the last that it waits for
	told chan error
}

// Kept implements signal.Keeper.
func (r receiver) Kept() (wait func(context.Context) error, err error) { return r.v.intake.kept() }

func (q *intake) kept() (wait func(context.Context) error, err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	k := &q.keeping
	if k.lost {
		k.lost = false
		return nil, signal.ErrNotKept
	}
	told := make(chan error, 1)
	if k.written == k.came {
		told <- k.failed
	} else {
		k.waiters = append(k.waiters, waiter{k.came, told})
	}
	return func(ctx context.Context) error {
		select {
		case err := <-told:
			return err
		case <-ctx.Done():
			return ctx.Err()
		}
	}, nil
}

// wrote tells that the write of all that was handed over has ended. Whoever hands over holds the
// visit's lock until then.
func (q *intake) wrote(err error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	k := &q.keeping
	k.written, k.failed = k.taken, err
	n := 0
	for ; n < len(k.waiters) && k.waiters[n].came <= k.written; n++ {
		k.waiters[n].told <- err
	}
	k.waiters = k.waiters[n:]
}
