package main

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
)

// cores are how many attempts of simulated visits run side by side.
const cores = 2

// each does something for 0 to n−1, on two goroutines, until one returns an error.
func each(ctx context.Context, n int, do func(i int) error) error { return eachOf(ctx, n, cores, do) }

// errEnough ends a goroutine of each, and is none of its errors.
var errEnough = errors.New("enough")

// eachOf is each on so many goroutines.
func eachOf(ctx context.Context, n, goroutines int, do func(i int) error) error {
	var next atomic.Int64
	errs := make([]error, goroutines)
	var all sync.WaitGroup
	for g := range errs {
		all.Go(func() {
			for errs[g] == nil && ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				errs[g] = do(i)
			}
		})
	}
	all.Wait()
	for g := range errs {
		if errors.Is(errs[g], errEnough) {
			errs[g] = nil
		}
	}
	return errors.Join(append(errs, ctx.Err())...)
}
