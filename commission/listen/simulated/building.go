package simulated

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Took lets the building follow the journal: the hands in it do what a cue asks for, and
// its supply is as the answers say.
func (c *Controller) Took(at time.Time, f record.Fact) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch f := f.(type) {
	case record.Opened:
		c.programmed(f.Programme)
	case record.SiteChanged:
		c.programmed(f.Programme)
	case record.Resumed:
		c.stopAll() // nobody waits any more for what was to come
		c.away = time.Time{}
		c.faultsResumed()
	case record.Cue:
		c.cued(c.steps[f.Step], f.Half)
	case record.Ended:
		c.ended(c.steps[f.Step])
	case record.Answer:
		c.answered(at, f)
		c.faultAnswered(f)
	case record.Energised:
		c.switched(at, f)
	case record.Moment:
		c.moved(f)
	case signal.System:
		c.told(at, f)
	}
}

// programmed learns where steps are taken. The caller holds the lock.
func (c *Controller) programmed(steps []programme.Step) {
	for _, step := range steps {
		c.steps[step.ID] = step
	}
}

// cued does what the technician was told to. The caller holds the lock.
func (c *Controller) cued(step programme.Step, half record.Half) {
	if step.Kind == programme.StepRestart { // it comes back and reports the first zone
		c.send(c.between(18*time.Second, 40*time.Second), c.site.Zones[0].Address, signal.Restored)
		return
	}
	c.act(step.Point, half)
}

// ended lets go what nobody will be told to restore: a contact that was opened for a
// chime, and one that was operated and another zone reported. The caller holds the lock.
func (c *Controller) ended(step programme.Step) {
	if step.Kind == programme.StepChime {
		c.act(step.Point, record.Restore)
	}
	f, broken := c.faultOf(step.Point, c.trials[step.Point])
	if step.Kind == programme.StepDetector && broken && f.Kind == Swapped {
		c.send(0, c.site.Zone(f.With).Address, signal.Restored)
	}
}

// answered removes or restores mains. The caller holds the lock.
func (c *Controller) answered(at time.Time, a record.Answer) {
	switch {
	case a.Result != record.Done:
	case a.Step == programme.IDMainsOff:
		c.mains(at, false)
		c.switchOver()
	case a.Step == programme.IDMainsOn:
		c.mains(at, true)
	}
}

// act operates a detector or lets it go: a hand needs time, and so does the controller.
// The caller holds the lock.
func (c *Controller) act(p site.Point, half record.Half) {
	if _, _, err := c.site.Find(p); err == nil {
		c.reportAfter(c.between(200*time.Millisecond, 900*time.Millisecond), p, half)
	}
}

// reportAfter reports a detector that a hand operates, or lets go, after a time; it returns when.
// The caller holds the lock.
func (c *Controller) reportAfter(hand time.Duration, p site.Point, half record.Half) time.Duration {
	zone, detector, _ := c.site.Find(p)
	if half == record.Operate {
		c.trials[p]++
	}
	state := signal.Active
	own := c.between(60*time.Millisecond, 350*time.Millisecond)
	if slow, said := c.opt.Delays[zone.Address]; said && half == record.Operate {
		own = slow
	}
	if c.opt.Spread > 0 {
		own += c.between(0, c.opt.Spread)
	}
	delay := hand + own
	if half == record.Restore {
		state = signal.Restored
		if detector.Kind.Trait().SelfRestoring {
			delay += c.between(2*time.Second, 6*time.Second)
		}
	}
	if zone.Kind.Tamper() && state == signal.Active {
		state = signal.Tamper
	}
	fault, broken := c.faultOf(p, c.trials[p])
	if broken {
		c.sendFaulty(fault, delay, zone, state, half)
	} else {
		c.send(delay, zone.Address, state)
	}
	return delay
}
