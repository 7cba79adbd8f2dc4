package simulated

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// FaultTold is how the simulated controller tells that mains or the battery is missing.
type FaultTold struct {
	Reported, Cleared time.Duration // after it went, and after it came back; zero for as usual
	Never             Never
}

// Never is what the controller never does about a fault, "" for nothing.
type Never string

// What may never come.
const (
	NeverTold     Never = "told" // it tells nothing of this at all, and does not say that it does
	NeverReported Never = "reported"
	NeverCleared  Never = "cleared"
)

// Nevers are all of them, as files name them.
var Nevers = []string{string(NeverTold), string(NeverReported), string(NeverCleared)}

// How long a controller takes to be sure (common practice, no source).
const (
	usuallyReported = 8 * time.Second
	usuallyCleared  = 5 * time.Second
)

// faultAspects are what a supply gives rise to.
var faultAspects = []signal.Aspect{signal.MainsFault, signal.BatteryFault}

// faultSignals are what the controller says of its supply.
type faultSignals struct {
	missing map[signal.Aspect]bool // what is missing now
	said    map[signal.Aspect]bool // what it said last
}

// tellsFaults are the faults that it tells.
func (c *Controller) tellsFaults() (all []signal.Aspect) {
	for _, a := range faultAspects {
		if c.opt.Told[a].Never != NeverTold {
			all = append(all, a)
		}
	}
	return all
}

// faultAnswered follows what is done to the supply. The caller holds the lock.
func (c *Controller) faultAnswered(a record.Answer) {
	if a.Result != record.Done {
		return
	}
	switch a.Step {
	case programme.IDMainsOff:
		c.misses(signal.MainsFault, true)
	case programme.IDMainsOn:
		c.misses(signal.MainsFault, false)
	case programme.IDBatteryOff:
		c.misses(signal.BatteryFault, true)
	case programme.IDBatteryOn:
		c.misses(signal.BatteryFault, false)
	}
}

// misses lets the controller notice that something is missing, or is there again. The
// caller holds the lock.
func (c *Controller) misses(a signal.Aspect, missing bool) {
	told := c.opt.Told[a]
	if c.faults.missing == nil {
		c.faults.missing, c.faults.said = map[signal.Aspect]bool{}, map[signal.Aspect]bool{}
	}
	if c.faults.missing[a] == missing {
		return
	}
	c.faults.missing[a] = missing
	after, never := or(told.Reported.Seconds(), usuallyReported.Seconds()), NeverReported
	if !missing {
		after, never = or(told.Cleared.Seconds(), usuallyCleared.Seconds()), NeverCleared
	}
	if told.Never == never || told.Never == NeverTold {
		return
	}
	delay := time.Duration(after*float64(time.Second)) + c.between(0, 900*time.Millisecond)
	c.later(delay, func(at time.Time, to signal.Receiver) { c.says(at, to, a, missing) })
}

// says tells what is so still, unless it was told already.
func (c *Controller) says(at time.Time, to signal.Receiver, a signal.Aspect, missing bool) {
	c.mu.Lock()
	news := c.faults.missing[a] == missing && c.faults.said[a] != missing
	reached := !at.Before(c.away)
	if news {
		c.faults.said[a] = missing
	}
	c.mu.Unlock()
	if receiver, takes := to.(signal.SystemReceiver); takes && news && reached {
		receiver.System(signal.System{At: at, Aspect: a, Present: missing})
	}
}

// faultsResumed lets what was to come have come in the break: nobody knows how long it was.
// The caller holds the lock.
func (c *Controller) faultsResumed() {
	for a, missing := range c.faults.missing {
		if never := c.opt.Told[a].Never; missing && never != NeverReported || !missing && never != NeverCleared {
			c.faults.said[a] = missing
		}
	}
}

// tellFaults tells all that it says of its supply as what was kept.
func (c *Controller) tellFaults(to signal.Receiver) {
	receiver, takes := to.(signal.SystemReceiver)
	if !takes {
		return
	}
	for _, a := range c.tellsFaults() {
		c.mu.Lock()
		said := c.faults.said[a]
		c.mu.Unlock()
		receiver.System(signal.System{At: c.clock.Now(), Aspect: a, Present: said, Kept: signal.Retained})
	}
}
