package simulated

import (
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The faults of a whole alarm.
const (
	NoAlarm    FaultKind = "no alarm"        // whatever is operated while it is set
	NoSounder  FaultKind = "silent in alarm" // nothing sounds or flashes by the controller itself
	SetsLate   FaultKind = "sets late"
	NeverSets  FaultKind = "never sets"
	ShortEntry FaultKind = "entry too short" // the alarm comes before anybody can unset it
	PathFails  FaultKind = "path fails"      // the centre receives nothing
)

// OfAlarm tells whether a fault shows in a whole alarm only: it is of the controller, too.
func (k FaultKind) OfAlarm() bool {
	return slices.Contains([]FaultKind{NoAlarm, NoSounder, SetsLate, NeverSets, ShortEntry, PathFails}, k)
}

// OfController tells whether a fault is of the controller, not of a detector.
func (k FaultKind) OfController() bool { return k.AtSwitchOver() || k.OfAlarm() }

// tells are the aspects that the simulated controller tells of itself.
var tells = []signal.Aspect{signal.Setting, signal.Set, signal.Entering, signal.Alarm, signal.Confirmed}

// What a building does with an alarm: common practice, no source.
const (
	usualTime  = 20 * time.Second // to walk out, where the site file does not say
	reactAfter = 700 * time.Millisecond
	// notHeardFor is how long is listened for what does not sound.
	notHeardFor = 20 * time.Second
	// centreAhead is by how much the centre's clock is ahead of ours, and pathTakes how long a
	// message takes.
	centreAhead = 37 * time.Second
	pathTakes   = 4 * time.Second
)

// house is how the controller's own side of an alarm stands.
type house struct {
	set      bool
	intruded int       // detectors since it was set
	alarm    time.Time // since when there is one; zero for none
	received time.Time // when the last one reached the centre
	entries  int       // how often its entry time has begun, or ended
	entering bool      // it runs
	leaving  []func()  // what stops the setting that somebody's hands began, nil for none
}

func (c *Controller) fails(k FaultKind) bool {
	return slices.ContainsFunc(c.opt.Faults, func(f Fault) bool { return f.Kind == k })
}

// moved does what the technician was told to. The caller holds the lock.
func (c *Controller) moved(m record.Moment) {
	switch m.What {
	case record.ToSet:
		c.setBy()
	case record.ToEnter:
		c.enteredAt(m.Point)
	case record.ToIntrude:
		c.intrudedAt(m.Point)
	case record.ToUnset:
		c.unsetAfter(c.between(2*time.Second, 3*time.Second))
	}
}

// tell says an aspect after a time, and does what goes with it. The caller holds the lock.
func (c *Controller) tell(after time.Duration, a signal.Aspect, present bool, does func(at time.Time)) {
	c.later(after, func(at time.Time, to signal.Receiver) {
		if does != nil {
			c.mu.Lock()
			does(at)
			c.mu.Unlock()
		}
		if r, is := to.(signal.SystemReceiver); is {
			r.System(signal.System{At: at, Aspect: a, Present: present})
		}
	})
}

func (c *Controller) setBy() {
	begins := c.between(time.Second, 2*time.Second)
	exit := usualTime
	if q := c.site.Setting.Exit; q.Given() {
		exit = q.Duration()
	}
	if c.fails(SetsLate) {
		exit += exit/2 + 5*time.Second
	}
	c.tell(begins, signal.Setting, true, nil)
	if c.fails(NeverSets) {
		return
	}
	c.tell(begins+exit, signal.Setting, false, nil)
	c.tell(begins+exit+50*time.Millisecond, signal.Set, true,
		func(time.Time) { c.house = house{set: true, received: c.house.received} })
}

// touched operates a detector and lets it go; what else it is on trial for, it knows nothing
// of. It returns when it is reported.
func (c *Controller) touched(p site.Point) time.Duration {
	after := c.between(time.Second, 2*time.Second)
	if z, _, err := c.site.Find(p); err == nil {
		c.send(after, z.Address, signal.Active)
		c.send(after+3*time.Second, z.Address, signal.Restored)
	}
	return after
}

func (c *Controller) enteredAt(p site.Point) {
	after := c.touched(p)
	c.tell(after+100*time.Millisecond, signal.Entering, true, nil)
	if c.fails(ShortEntry) {
		c.alarmAfter(after+2*time.Second, signal.Alarm)
	}
	c.unsetAfter(after + c.between(5*time.Second, 8*time.Second))
}

func (c *Controller) intrudedAt(p site.Point) {
	after := c.touched(p) + c.between(300*time.Millisecond, 800*time.Millisecond)
	c.house.intruded++
	switch {
	case c.fails(NoAlarm):
	case c.house.intruded > 1:
		c.tell(after, signal.Confirmed, true, nil)
	default:
		c.alarmAfter(after, signal.Alarm)
	}
}

// alarmAfter raises the alarm after a time: outputs go on, and the centre is told.
func (c *Controller) alarmAfter(after time.Duration, a signal.Aspect) {
	c.tell(after, a, true, func(at time.Time) {
		c.house.alarm = at
		for _, o := range c.site.AlarmOutputs() {
			if !c.fails(NoSounder) {
				c.switched(at, record.Energised{Output: o.Name, On: true})
			}
		}
	})
}

// told takes an alarm, also one of an earlier run, to the centre, which forgets none over a
// break. The caller holds the lock.
func (c *Controller) told(at time.Time, s signal.System) {
	if s.Aspect == signal.Alarm && s.Present && !c.fails(PathFails) {
		c.house.received = at.Add(pathTakes)
	}
}

func (c *Controller) unsetAfter(after time.Duration) {
	c.tell(after, signal.Set, false, func(at time.Time) {
		if !c.house.alarm.IsZero() {
			c.tell(100*time.Millisecond, signal.Alarm, false, nil)
		}
		c.house.set, c.house.alarm = false, time.Time{}
		for _, o := range c.site.AlarmOutputs() {
			c.switched(at, record.Energised{Output: o.Name})
		}
	})
}

// heardBy waits, in simulated time, as a person would who listens for what an alarm lets sound,
// and says which key they press.
func (t technician) heardBy(w ask.Watch) ask.Key {
	if !t.building.InSimulatedTime() {
		return ""
	}
	for _, key := range []ask.Key{ask.Sounds, ask.Flashes} {
		if slices.Contains(w.Keys, key) {
			for range int(notHeardFor / reactAfter) {
				clock.Sleep(t.building.clock, reactAfter)
				if t.building.works(t.building.outputOf(w)) {
					return key
				}
			}
			return ask.Silent
		}
	}
	return ""
}

// outputOf is the output that a wait is about, "" for none.
func (c *Controller) outputOf(w ask.Watch) string {
	if m, is := w.Title.(ask.AlarmMoment); is {
		return m.Output
	}
	return ""
}

// centreClock is what the centre's clock shows at an instant.
func centreClock(at time.Time) string { return at.Add(centreAhead).Format(time.TimeOnly) }

// centreSays is what the centre says of the last alarm.
func (c *Controller) centreSays() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.house.received.IsZero() {
		return ask.Never
	}
	return centreClock(c.house.received)
}
