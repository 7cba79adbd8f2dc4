package visit

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// phoneSilent is how long a phone that holds the questions may be silent while an output is
// on: twice the five seconds after which it is to be heard of, so that one lost message does
// not stop a measurement, and shorter than anybody stays close to a sounder that they cannot
// silence (common practice, no source).
const phoneSilent = 10 * time.Second

// lookAtPhone is how often it is looked at while an output is on.
const lookAtPhone = 500 * time.Millisecond

// errServesNoMore says that the visit is over, or paused.
var errServesNoMore = errors.New("the visit is not running")

// Photographs keeps photographs of a running visit.
type Photographs interface {
	// Prepare reads a photograph's file. It may take long.
	Prepare(about record.About, caption string, file []byte) (Prepared, error)
}

// Prepared is a photograph that can be kept.
type Prepared interface {
	// Fact is what the journal will say of it, or why the visit does not take it.
	Fact(*record.Record) (record.Photographed, error)
	// Keep makes the picture durable, before the journal tells of it.
	Keep(record.Photographed) error
}

// device is the operator, if that is one that may be out of reach.
func (v *Visit) device() (ask.Device, bool) {
	d, is := v.bare().(ask.Device)
	return d, is
}

// shower is the operator, if that shows the board.
func (v *Visit) shower() (ask.Shower, bool) {
	s, is := v.bare().(ask.Shower)
	return s, is
}

// bare is the operator as it was given.
func (v *Visit) bare() ask.Operator {
	if a, is := v.operator.(attentive); is {
		return a.Operator
	}
	return v.operator
}

// serve lets a device do what it does out of turn, and looks after it, until it is stopped.
func (v *Visit) serve(ctx context.Context) (stop func()) {
	d, is := v.device()
	if !is {
		return func() {}
	}
	v.mu.Lock()
	v.serves = true
	v.mu.Unlock()
	ctx, cancel := context.WithCancel(ctx)
	d.Serve(ask.OutOfTurn{Held: v.nowHeld, Photograph: v.photograph, Quiet: func() { v.quiet(ctx) }})
	end := v.meanwhile("watching the phone", func(over <-chan struct{}) { v.watchPhone(ctx, d, over) })
	return func() {
		cancel() // who leaves switches off
		end()
	}
}

// serveNoMore lets nothing out of turn be written behind the end of the run.
func (v *Visit) serveNoMore() {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.serves = false
}

// addServed writes a fact of a device, while the visit runs.
func (v *Visit) addServed(f record.Fact) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	if !v.serves {
		return errServesNoMore
	}
	return v.addLocked(v.clock.Now(), f)
}

// nowHeld writes who holds the questions.
func (v *Visit) nowHeld(h record.Held) {
	defer v.recovered("taking the questions over")
	h.Device = bounded(h.Device, longestAddress)
	v.mu.Lock()
	v.held = h
	v.mu.Unlock()
	_ = v.addServed(h) // a journal that fails is met by the next step
}

// phoneHolds tells whether a phone holds the questions.
func (v *Visit) phoneHolds() bool {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.held.By == record.OnPhone
}

// photograph keeps a photograph: the picture is durable before the journal tells of it.
func (v *Visit) photograph(about record.About, caption string, file []byte) (name string, err error) {
	defer v.recovered("keeping a photograph")
	if v.photographs == nil {
		return "", errors.New("this visit keeps no photographs")
	}
	prepared, err := v.photographs.Prepare(about, caption, file)
	if err != nil {
		return "", err
	}
	v.photographing.Lock() // their names are counted
	defer v.photographing.Unlock()
	var fact record.Photographed
	if looked := v.look(func(r *record.Record) { fact, err = prepared.Fact(r) }); err != nil || looked != nil {
		return "", errors.Join(err, looked)
	}
	if err := prepared.Keep(fact); err != nil {
		return "", err
	}
	return fact.Name, v.addServed(fact)
}

// quiet switches off what sounds, as the technician asks. The step goes on: what is measured
// then is known to be so.
func (v *Visit) quiet(ctx context.Context) {
	defer v.recovered("switching off")
	on := v.outputsOn()
	if len(on) == 0 {
		return
	}
	v.operator.Tell(ask.Silenced{Outputs: namesOf(on)})
	v.offMeanwhile(ctx, on, record.OffQuiet)
}

// offMeanwhile switches outputs off side by side: none waits for one that does not answer.
// Those that only a hand can switch are told.
func (v *Visit) offMeanwhile(ctx context.Context, outputs []*site.Output, why record.OffBecause) {
	var switching sync.WaitGroup
	for _, o := range outputs {
		if _, can := v.byController(o); !can {
			v.operator.Tell(ask.SwitchOff{Output: o.Name})
			continue
		}
		switching.Go(func() {
			defer v.recovered("switching off")
			if err := v.switchOff(ctx, o, patience, why); err != nil && ctx.Err() == nil {
				v.end(err)
			}
		})
	}
	switching.Wait()
}

// watchPhone switches off what is on if the phone that holds the questions falls silent, once
// for each time that it is on.
func (v *Visit) watchPhone(ctx context.Context, d ask.Device, over <-chan struct{}) {
	var told []string
	for rest(lookAtPhone, over) {
		silent := d.Silent()
		if silent <= phoneSilent {
			told = nil
			continue
		}
		on := v.outputsOn()
		told = slices.DeleteFunc(told, func(name string) bool { return !slices.Contains(namesOf(on), name) })
		on = slices.DeleteFunc(on, func(o *site.Output) bool { return slices.Contains(told, o.Name) })
		for _, o := range on {
			v.operator.Tell(ask.PhoneSilent{Output: o.Name, Since: silent.Truncate(time.Second)})
		}
		told = append(told, namesOf(on)...)
		v.offMeanwhile(ctx, on, record.OffPhoneSilent)
	}
}

// meanwhile does something beside the visit, until it is stopped.
func (v *Visit) meanwhile(what string, do func(over <-chan struct{})) (stop func()) {
	over := make(chan struct{})
	var doing sync.WaitGroup
	doing.Go(func() {
		defer v.recovered(what)
		do(over)
	})
	return func() {
		close(over)
		doing.Wait()
	}
}

// rest waits, and tells whether it is to go on.
func rest(d time.Duration, over <-chan struct{}) bool {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-over:
		return false
	}
}
