package simulated

import (
	"slices"
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Whoever has no journal to follow (commission/listen/bench) says by these what is done in the building.

// Operate operates a detector now, as a hand does; a system that is set notices it.
func (c *Controller) Operate(p site.Point) error {
	if _, _, err := c.site.Find(p); err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	after := c.reportAfter(0, p, record.Operate)
	if f, broken := c.faultOf(p, c.trials[p]); c.house.set && !(broken && f.Kind == Silent) {
		c.noticed(p, after)
	}
	return nil
}

// LetGo lets a detector go back to rest.
func (c *Controller) LetGo(p site.Point) error {
	if _, _, err := c.site.Find(p); err != nil {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.reportAfter(0, p, record.Restore)
	return nil
}

// noticed is what a system that is set does about a detector: the entry time runs from that of the entry
// route, and while it does nothing else is noticed; any other raises the alarm, and a further one confirms
// it. The caller holds the lock.
func (c *Controller) noticed(p site.Point, after time.Duration) {
	h := &c.house
	switch {
	case c.fails(NoAlarm), h.entering:
	case p == c.site.Setting.Route && h.alarm.IsZero() && h.intruded == 0:
		h.entering = true
		h.entries++
		c.tell(after+100*time.Millisecond, signal.Entering, true, nil)
		c.entryEnds(after+c.entryTime(), h.entries)
	default:
		h.intruded++
		after += c.between(300*time.Millisecond, 800*time.Millisecond)
		if h.intruded > 1 {
			c.tell(after, signal.Confirmed, true, nil)
			return
		}
		c.alarmAfter(after, signal.Alarm)
	}
}

func (c *Controller) entryTime() time.Duration {
	switch q := c.site.Setting.Entry; {
	case c.fails(ShortEntry):
		return 2 * time.Second
	case q.Given():
		return q.Duration()
	}
	return usualTime
}

// entryEnds raises the alarm unless the system was unset meanwhile. The caller holds the lock.
func (c *Controller) entryEnds(after time.Duration, which int) {
	c.later(after, func(time.Time, signal.Receiver) {
		c.mu.Lock()
		runs := c.house.entering && c.house.entries == which
		if runs {
			c.house.entering = false
			c.house.intruded++
			c.tell(0, signal.Entering, false, nil)
			c.alarmAfter(0, signal.Alarm)
		}
		c.mu.Unlock()
	})
}

// Set begins to set the system: the exit time runs, unless it does already or the system is set.
func (c *Controller) Set() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.house.leaving == nil && !c.house.set {
		before := len(c.stops)
		c.setBy()
		c.house.leaving = slices.Clone(c.stops[before:])
	}
}

// Unset unsets the system, and ends an alarm; while the exit time runs it ends that.
func (c *Controller) Unset() {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.house.set {
		for _, stop := range c.house.leaving {
			stop()
		}
		if c.house.leaving != nil {
			c.tell(0, signal.Setting, false, nil)
		}
	}
	c.house.leaving = nil
	if c.house.entering {
		c.house.entering = false
		c.tell(0, signal.Entering, false, nil)
	}
	c.unsetAfter(200 * time.Millisecond)
}

// Mains removes or restores mains.
func (c *Controller) Mains(on bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	was := c.supply.mains
	c.mains(c.clock.Now(), on)
	c.misses(signal.MainsFault, !on)
	if was && !on {
		c.switchOver()
	}
}

// Battery disconnects the battery, or connects it again.
func (c *Controller) Battery(on bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.misses(signal.BatteryFault, !on)
}

// Switch energises an output, or switches it off.
func (c *Controller) Switch(output string, on bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.switched(c.clock.Now(), record.Energised{Output: output, On: on})
}

// Works tells whether an output is heard or seen now.
func (c *Controller) Works(output string) bool { return c.works(output) }

// Volts is the voltage at the supply's terminals now, V.
func (c *Controller) Volts() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.terminals(c.clock.Now())
}
