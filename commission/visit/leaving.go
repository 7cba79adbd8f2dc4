package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const (
	// patienceLeaving is how long it is tried on the way out to switch off what nobody
	// guards; patienceGuarded, for all together, where somebody else does it.
	patienceLeaving = 15 * time.Second
	patienceGuarded = 900 * time.Millisecond
)

// LeftOn is what the visit left on, as far as it knows; it is not running any more.
func (v *Visit) LeftOn() []ask.LeftOn { return v.leftOn }

// leave switches off what is on, on the way out, also after a failed write, and keeps
// what it could not. ctx is that of the run: it may have ended, or end meanwhile.
func (v *Visit) leave(ctx context.Context, why error) error {
	giveUp, cancel := v.impatience(ctx)
	defer cancel()
	on := v.outputsOn()
	guarded := 0
	for _, o := range on {
		if v.guards.stand(o.Name) {
			guarded++
		}
	}
	ours, byHand := v.apart(on)
	errs := []error{sideBySide(ours, func(o *site.Output) error {
		s, _ := v.byController(o)
		return v.leaveOff(giveUp, s, o, guarded)
	})}
	for _, o := range byHand {
		errs = append(errs, v.leaveByHand(ctx, o, why))
	}
	return errors.Join(errs...)
}

// outputsOn are those that may be on.
func (v *Visit) outputsOn() []*site.Output {
	return seen(v, func(r *record.Record) (on []*site.Output) {
		for _, name := range r.Energised() {
			if o := r.Site().Output(name); o != nil {
				on = append(on, o)
			}
		}
		return on
	})
}

// impatience ends when the end is asked for once more: where nobody had before, when it
// is asked for at all.
func (v *Visit) impatience(ctx context.Context) (context.Context, context.CancelFunc) {
	giveUp, cancel := context.WithCancel(context.Background())
	var asked <-chan struct{}
	if ctx.Err() == nil {
		asked = ctx.Done()
	}
	go func() {
		select {
		case <-v.hurry:
		case <-asked:
		case <-giveUp.Done():
		}
		cancel()
	}()
	return giveUp, cancel
}

// leaveOff tries to switch one output off; of several that are guarded, each has its share
// of the time.
func (v *Visit) leaveOff(giveUp context.Context, s signal.Switch, o *site.Output, guarded int) error {
	limit, most := switchLimit, patienceLeaving
	stands, told := v.guards.stand(o.Name), false
	if stands {
		limit, most = patienceGuarded/time.Duration(guarded), 0
	}
	err := v.tryOff(giveUp, s, o, limit, most, func(err error) {
		v.toldStuck(o, err)
		told = true
		if !stands {
			v.operator.Tell(ask.TriedFor{Output: o.Name, Most: most})
		}
	})
	if err != nil {
		left := ask.LeftOn{Output: o.Name, Location: o.Location, Kind: o.Kind,
			Unsure: !v.guards.ofThisRun(o.Name) || v.guards.inDoubt(o.Name)}
		if stands {
			left.Within = signal.GuardedWithin
		}
		v.leaves(left)
		return fmt.Errorf("switch %s off: %w", o.Name, err)
	}
	if !stands && v.guards.inDoubt(o.Name) {
		return v.leaveInDoubt(giveUp, s, o)
	}
	if told {
		v.operator.Tell(ask.SwitchedOff{Output: o.Name})
	}
	v.leaving.Lock()
	v.wentOff = append(v.wentOff, o.Name)
	v.leaving.Unlock()
	return v.nowOff(o, "")
}

// leaves notes what is left on.
func (v *Visit) leaves(left ask.LeftOn) {
	v.leaving.Lock()
	defer v.leaving.Unlock()
	v.leftOn = append(v.leftOn, left)
}

// leaveInDoubt repeats the command off to an output whose command on was never answered: that may be carried
// out after this one. It stays on in the record, as what is not known to be off.
func (v *Visit) leaveInDoubt(giveUp context.Context, s signal.Switch, o *site.Output) error {
	const times = 3
	for n := 0; n < times && v.pause(giveUp, pauseOfTries); n++ {
		limited, cancel := context.WithTimeout(giveUp, switchLimit)
		_ = s.Energise(limited, o, false) // it was taken before
		cancel()
	}
	v.leaves(ask.LeftOn{Output: o.Name, Location: o.Location, Kind: o.Kind, Unsure: true, Late: true})
	return fmt.Errorf("%s was told to switch off, but its command on was not confirmed and may be carried out "+
		"late", o.Name)
}

// leaveByHand asks where somebody is there to answer. Else it stays on in the record,
// which knows no better, and the next run asks.
func (v *Visit) leaveByHand(ctx context.Context, o *site.Output, why error) error {
	err := error(nil)
	if why == nil {
		err = v.switchOffByHand(ctx, o)
	} else {
		v.operator.Tell(ask.MakeSureOff{Output: o.Name})
	}
	if v.isOn(o.Name) {
		v.leaves(ask.LeftOn{Output: o.Name, Location: o.Location, Kind: o.Kind, Unsure: true})
	}
	return err
}

// tryOff commands an output off until that succeeds, or for most, or until the context
// ends; each command has a limit, and with a most of zero there is only one. failing is
// called if the first one fails by itself.
func (v *Visit) tryOff(ctx context.Context, s signal.Switch, o *site.Output, limit, most time.Duration,
	failing func(error)) error {
	began := v.clock.Now()
	for first := true; ; first = false {
		left := most - v.clock.Now().Sub(began)
		if first && most == 0 {
			left = limit
		}
		limited, cancel := context.WithTimeout(ctx, min(limit, left))
		err := s.Energise(limited, o, false)
		cancel()
		if err == nil {
			return nil
		}
		if first && ctx.Err() == nil {
			failing(err)
		}
		if v.clock.Now().Sub(began)+pauseOfTries >= most || !v.pause(ctx, pauseOfTries) {
			return err
		}
	}
}

// pause waits, and tells whether the context lasted.
func (v *Visit) pause(ctx context.Context, d time.Duration) bool {
	over := make(chan struct{})
	defer v.clock.AfterFunc(d, func() { close(over) })()
	for end := v.clock.Now().Add(d); ctx.Err() == nil && v.clock.Pass(end); {
		select {
		case <-over:
			return true
		default:
		}
	}
	select {
	case <-over:
		return ctx.Err() == nil
	case <-ctx.Done():
		return false
	}
}

// toldStuck tells and writes that an output could not be switched off.
func (v *Visit) toldStuck(o *site.Output, err error) {
	// Written for the certificate; a journal that fails is met later.
	_ = v.add(record.Energised{Output: o.Name, On: true, By: record.SwitchedByController,
		Failed: bounded(err.Error(), longestRaw)})
	v.operator.Tell(ask.NotSwitchedOff{Output: o.Name, Why: err})
}

// nowOff lets the guard go of an output that the controller was told to switch off.
func (v *Visit) nowOff(o *site.Output, why record.OffBecause) error {
	v.guards.take(o.Name)()
	if !v.isOn(o.Name) {
		return nil // somebody else has switched it off, too
	}
	defer v.putAgain(o.Name)
	return v.add(record.Energised{Output: o.Name, On: false, By: record.SwitchedByController, Because: why})
}
