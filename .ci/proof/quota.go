package main

import (
	"context"
	"math/rand/v2"
	"sync"
	"time"
)

// mostKills is how often a visit is killed at most.
const mostKills = 8

// quota shares out how many kills are still to be done.
type quota struct {
	mu            sync.Mutex
	left, pending int
}

// take takes up to n; 0 where none are left. over tells that none come back, either.
func (q *quota) take(n int) (taken int, over bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	taken = min(n, q.left)
	q.left -= taken
	q.pending += taken
	return taken, q.pending == 0
}

// done gives back what was taken and not used.
func (q *quota) done(taken, used int) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.pending -= taken
	q.left += max(0, taken-used)
}

// share has visits killed until the quota is used up, several side by side. do is given the
// visit's number, how often to kill it, and what it draws from; it returns how often it was.
func (q *quota) share(
	ctx context.Context, side int, seed uint64, do func(i, most int, rng *rand.Rand) (int, error),
) error {
	const endless = 1 << 30
	return eachOf(ctx, endless, side, func(i int) error {
		rng := rand.New(rand.NewPCG(seed, uint64(i)))
		wanted := 1 + rng.IntN(mostKills)
		taken, over := q.take(wanted)
		for taken == 0 && !over && ctx.Err() == nil {
			time.Sleep(10 * time.Millisecond)
			taken, over = q.take(wanted)
		}
		if taken == 0 {
			return errEnough
		}
		used, err := do(i, taken, rng)
		q.done(taken, used)
		return err
	})
}
