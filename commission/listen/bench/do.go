package bench

import (
	"context"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// heldOpen is how long something is operated for a moment, beside what it takes to report.
const heldOpen = 1500 * time.Millisecond

// Do does what is asked for and returns at once; what lasts goes on until it is over or the bench closes.
func (b *Bench) Do(c Command) {
	switch c.Do {
	case Open:
		_ = b.building.Operate(c.At) // the site has it
	case Close:
		_ = b.building.LetGo(c.At)
	case Touch:
		b.work.Go(func() { b.touch(c.At) })
	case All:
		b.work.Go(b.all)
	case MainsOff, MainsOn:
		b.building.Mains(c.Do == MainsOn)
	case BatteryOff, BatteryOn:
		b.building.Battery(c.Do == BatteryOn)
	case Set:
		b.building.Set()
	case Unset:
		b.building.Unset()
	case Restart:
		b.work.Go(func() {
			b.leave()
			pause(b.ctx, b.clock, c.For)
			if b.ctx.Err() == nil {
				b.arrive()
			}
		})
	case Silence:
		b.mu.Lock()
		b.silent = b.clock.Now().Add(c.For)
		b.mu.Unlock()
		b.tell(Event{What: Silent, Detail: checks.FormatDuration(c.For)})
	case Storm:
		ctx := b.instead(&b.storm)
		b.work.Go(func() { b.blow(ctx, c) })
	case Again:
		ctx := b.instead(&b.anew)
		b.work.Go(func() { b.play(ctx) })
	}
}

// instead ends what goes on, and is the context of what takes its place.
func (b *Bench) instead(of *context.CancelFunc) context.Context {
	b.mu.Lock()
	defer b.mu.Unlock()
	if *of != nil {
		(*of)()
	}
	ctx, cancel := context.WithCancel(b.ctx)
	*of = cancel
	return ctx
}

// touch operates a detector for a moment.
func (b *Bench) touch(p site.Point) {
	zone, _, err := b.site.Find(p)
	if err != nil {
		return
	}
	_ = b.building.Operate(p)
	if pause(b.ctx, b.clock, heldOpen+b.scenario.Building.Delays[zone.Address]) {
		_ = b.building.LetGo(p)
	}
}

// all operates each detector for a moment, one after the other.
func (b *Bench) all() {
	var points []site.Point
	b.site.Each(func(p site.Point, _ *site.Zone, _ *site.Detector) { points = append(points, p) })
	for _, p := range points {
		if b.touch(p); !pause(b.ctx, b.clock, heldOpen) {
			return
		}
	}
}

// blow lets all zones report at a rate, in turn, each active and restored; at the end each is told as it
// stands.
func (b *Bench) blow(ctx context.Context, c Command) {
	b.tell(Event{What: Stormy, Count: c.Rate, Detail: checks.FormatDuration(c.For)})
	var addresses []string
	for i := range b.site.Zones {
		if a := b.site.Zones[i].Address; a != "" && !slices.Contains(addresses, a) {
			addresses = append(addresses, a)
		}
	}
	begun, sent := b.clock.Now(), 0
	for len(addresses) > 0 {
		const tick = 2 * time.Millisecond
		passed := min(b.clock.Now().Sub(begun), c.For)
		for due := int(passed.Seconds() * float64(c.Rate)); sent < due; sent++ {
			a := addresses[sent/2%len(addresses)]
			state := signal.Active
			if sent%2 == 1 {
				state = signal.Restored
			}
			b.speak(func(w way) { w.signal(a, state) })
		}
		if passed == c.For || !pause(ctx, b.clock, tick) {
			break
		}
	}
	took := b.clock.Now().Sub(begun)
	b.mu.Lock()
	states := map[string]signal.State{}
	for _, a := range addresses {
		states[a] = b.states[a]
	}
	b.mu.Unlock()
	for _, a := range addresses {
		b.speak(func(w way) { w.signal(a, states[a]) })
	}
	b.tell(Event{What: StormOver, Count: sent, Detail: took.Round(10 * time.Millisecond).String()})
}
