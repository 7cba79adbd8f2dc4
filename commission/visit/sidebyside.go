package visit

import (
	"errors"
	"slices"
	"sync"
	"time"

	"loopwitness/commission/site"
)

// waitsForOne is how long the next of several outputs waits for the one before: those that answer are switched one
// after the other, and none waits for one that does not.
const waitsForOne = 200 * time.Millisecond

// sideBySide does something with each of some outputs, and returns when all of it is done.
func sideBySide(outputs []*site.Output, do func(*site.Output) error) error {
	errs := make([]error, len(outputs))
	var all sync.WaitGroup
	for i, o := range outputs {
		done := make(chan struct{})
		all.Go(func() {
			defer close(done)
			errs[i] = guarded(func() error { return do(o) })
		})
		select {
		case <-done:
		case <-time.After(waitsForOne):
		}
	}
	all.Wait()
	return errors.Join(errs...)
}

// apart are the outputs that the controller switches, and those that a hand does.
func (v *Visit) apart(outputs []*site.Output) (ours, byHand []*site.Output) {
	byHand = slices.Clone(outputs)
	byHand = slices.DeleteFunc(byHand, func(o *site.Output) bool {
		_, can := v.byController(o)
		if can {
			ours = append(ours, o)
		}
		return can
	})
	return ours, byHand
}
