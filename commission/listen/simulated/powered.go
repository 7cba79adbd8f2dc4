package simulated

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// OutputFault is what is wrong with an output, or what it does by itself.
type OutputFault struct {
	Silent bool          // it does nothing when it is energised
	CutOff time.Duration // after which it ends by itself; zero for never
}

// powered is the supply of a building as time goes by.
type powered struct {
	Supply
	charge float64
	at     time.Time // for which the charge is
	mains  bool
	since  time.Time // when mains was removed or came back
	before float64   // V in that moment
}

func newPowered(s Supply) powered { return powered{Supply: s, charge: s.Battery.Charge, mains: true} }

// moment is how things stand with the supply. The caller holds the lock.
func (c *Controller) moment(at time.Time) Moment {
	p := &c.supply
	m := Moment{Mains: p.mains, Before: p.before, Charge: p.charge, Load: c.load(at)}
	if !p.since.IsZero() {
		m.Since = at.Sub(p.since)
	}
	return m
}

// terminals is the voltage at the supply's terminals. The caller holds the lock.
func (c *Controller) terminals(at time.Time) float64 {
	c.pass(at)
	return c.supply.Volts(c.moment(at))
}

// pass takes what the time since the last change did to the charge. An output that has
// ended by itself meanwhile counts as off. The caller holds the lock.
func (c *Controller) pass(at time.Time) {
	p := &c.supply
	if !p.at.IsZero() && at.After(p.at) {
		p.charge = p.charged(c.moment(at), at.Sub(p.at))
	}
	p.at = at
}

// mains removes or restores it. The caller holds the lock.
func (c *Controller) mains(at time.Time, on bool) {
	if c.supply.mains == on {
		return
	}
	before := c.terminals(at)
	c.supply.before, c.supply.since, c.supply.mains = before, at, on
}

// switched follows an output. The caller holds the lock.
func (c *Controller) switched(at time.Time, e record.Energised) {
	c.pass(at)
	switch _, on := c.outputs[e.Output]; {
	case !e.On:
		delete(c.outputs, e.Output)
	case !on:
		c.outputs[e.Output] = at
	}
}

// runs tells whether an output is energised and does something. The caller holds the lock.
func (c *Controller) runs(name string, at time.Time) bool {
	since, on := c.outputs[name]
	fault := c.opt.Outputs[name]
	return on && !fault.Silent && (fault.CutOff == 0 || at.Sub(since) < fault.CutOff)
}

// works tells whether an output is heard or seen.
func (c *Controller) works(name string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.runs(name, c.clock.Now())
}

// usualOutputs are what outputs draw whose site file does not say, A: from memory.
var usualOutputs = map[site.OutputKind]float64{site.Sounder: 0.3, site.Strobe: 0.15, site.Chime: 0.05}

// load is what is drawn, A. The caller holds the lock.
func (c *Controller) load(at time.Time) float64 {
	sum, alarm := standbyLoad(c.site), false
	for i := range c.site.Outputs {
		o := &c.site.Outputs[i]
		sum += c.drawn(o, at)
		alarm = alarm || o.Kind != site.Chime && c.runs(o.Name, at)
	}
	for _, l := range c.site.Supply.Loads {
		if alarm && l.Alarm.Given() {
			sum += l.Alarm.SI - l.Current.SI
		}
	}
	return sum
}

// drawn is what an output draws, A. The caller holds the lock.
func (c *Controller) drawn(o *site.Output, at time.Time) float64 {
	if !c.runs(o.Name, at) {
		return 0
	}
	return or(o.Current.SI, usualOutputs[o.Kind])
}

// amperes are what the whole system draws, or an output alone, by its name.
func (c *Controller) amperes(output string) float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	if o := c.site.Output(output); o != nil {
		return c.drawn(o, c.clock.Now())
	}
	return c.load(c.clock.Now())
}

// lost is what the cable to a detector loses, V; nothing where the site file does not
// say what it is.
func (c *Controller) lost(at site.Point) float64 {
	_, d, err := c.site.Find(at)
	if err != nil || d.Power == nil || d.Power.Conductor.Text == "" {
		return 0
	}
	const celsius = 20
	wire, _ := d.Power.Conductor.Resistance(checks.Flexible, celsius) // the site's reader has understood it
	return 2 * d.Power.CableLength.SI * wire.OhmPerMetre * d.Power.Current.SI
}

// The switch-over: common practice, no source.
const (
	switchOverTime = 300 * time.Millisecond
	dropTime       = 8 * time.Second
)

// switchOver lets a controller go down that cannot stand it. The caller holds the lock.
func (c *Controller) switchOver() {
	for _, f := range c.opt.Faults {
		switch f.Kind {
		case Restarts:
			up := c.between(18*time.Second, 40*time.Second)
			c.goneFor(up, signal.ControllerGone, signal.ControllerUp)
		case Drops:
			c.goneFor(dropTime, signal.Broken, signal.BackAgain)
		}
	}
}

// goneFor loses the connection to the controller for a time. The caller holds the lock.
func (c *Controller) goneFor(d time.Duration, why, again signal.Change) {
	c.away = c.clock.Now().Add(switchOverTime + d)
	c.later(switchOverTime, func(_ time.Time, to signal.Receiver) { to.Connection(signal.Connection{Why: why}) })
	c.later(switchOverTime+d, func(_ time.Time, to signal.Receiver) {
		to.Connection(signal.Connection{Up: true, Why: again})
		c.tellAll(to)
	})
}

// later tells the visit something after a delay. The caller holds the lock.
func (c *Controller) later(after time.Duration, tell func(time.Time, signal.Receiver)) {
	c.stops = append(c.stops, c.clock.AfterFunc(after, func() {
		at := c.clock.Now()
		c.mu.Lock()
		to, closed := c.to, c.closed
		c.mu.Unlock()
		if to != nil && !closed {
			tell(at, to)
		}
	}))
}
