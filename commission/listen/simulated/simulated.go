// Package simulated is a controller, the building around it and the hands in
// it, for demonstrations and practice: seeded, with known delays and with
// faults that a walk-test has to find. It proves nothing about any
// installation, and says so in the journal.
package simulated

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// FaultKind is what is wrong with a detector or its zone.
type FaultKind string

// The faults that can be given.
const (
	Silent   FaultKind = "silent"   // it is never reported
	Swapped  FaultKind = "swapped"  // another zone reports instead
	Chatter  FaultKind = "chatter"  // a loose magnet
	Inverted FaultKind = "inverted" // reports the opposite
	Slow     FaultKind = "slow"     // reports after its limit
	// At the switch-over to battery, of the controller itself:
	Restarts FaultKind = "restarts on battery"
	Drops    FaultKind = "drops connection"
)

// FaultKinds are all of them, as files name them.
var FaultKinds = []string{string(Silent), string(Swapped), string(Chatter), string(Inverted), string(Slow),
	string(Restarts), string(Drops), string(NoAlarm), string(NoSounder), string(SetsLate), string(NeverSets),
	string(ShortEntry), string(PathFails)}

// AtSwitchOver tells whether a fault is one of the controller, not of a detector.
func (k FaultKind) AtSwitchOver() bool { return k == Restarts || k == Drops }

// Fault is one thing that is wrong, at a detector unless its kind is OfController.
type Fault struct {
	At   site.Point
	Kind FaultKind
	With int // the zone that answers instead, for Swapped
	// Trials after which somebody has repaired it; 0 for never.
	Trials int
}

// Options of a simulation. The same seed gives the same visit.
type Options struct {
	Seed    uint64
	Faults  []Fault
	Supply  SupplyOptions
	Outputs map[string]OutputFault // by name
	// Delays are how long what stands under an address takes to report after it was
	// operated; without one it is as quick as a contact.
	Delays map[string]time.Duration
	// Spread is by how much reports come later at most, each by another time.
	Spread time.Duration
	// Told is how it tells that mains or the battery is missing.
	Told map[signal.Aspect]FaultTold
}

// uncertainty of a time, expanded: that of the computer (0.05 s), although
// here it is made up.
const uncertainty = 50 * time.Millisecond

// Controller is the simulated controller with its building. It implements signal.Source,
// signal.Switch and visit.Reader: from the journal it knows what the technician was told
// to do.
type Controller struct {
	site  *site.Site
	clock clock.Clock
	opt   Options

	mu      sync.Mutex
	rng     *rand.Rand
	to      signal.Receiver
	stops   []func()
	steps   map[string]programme.Step
	trials  map[site.Point]int
	supply  powered
	faults  faultSignals
	outputs map[string]time.Time // that are energised, and since when
	away    time.Time            // until when the controller cannot be reached
	closed  bool
	house   house
	walked  int       // detectors that somebody who walks through has operated
	free    time.Time // when their hands are free again
}

// New makes a controller for a site. A fault at a detector or zone that the
// site does not have is an error.
func New(s *site.Site, c clock.Clock, opt Options) (*Controller, error) {
	for _, f := range opt.Faults {
		if f.Kind.OfController() {
			continue
		}
		if _, _, err := s.Find(f.At); err != nil {
			return nil, fmt.Errorf("simulated fault: %w", err)
		}
		if f.Kind == Swapped && s.Zone(f.With) == nil {
			return nil, fmt.Errorf("simulated fault at %s: the site has no zone %d", f.At, f.With)
		}
	}
	return &Controller{
		site:    s,
		clock:   c,
		opt:     opt,
		rng:     rand.New(rand.NewPCG(opt.Seed, 17)),
		steps:   map[string]programme.Step{},
		trials:  map[site.Point]int{},
		outputs: map[string]time.Time{},
		supply:  newPowered(supplyOf(s, opt.Supply)),
	}, nil
}

// About describes the source.
func (c *Controller) About() signal.Listening {
	by := signal.BySeed
	if c.InSimulatedTime() {
		by = signal.BySimulatedTime
	}
	return signal.Listening{
		Way:           signal.Simulated,
		TimedBy:       by,
		UncertaintyNS: uncertainty.Nanoseconds(),
		Simulated:     true,
		Tells:         slices.Concat(c.tellsFaults(), tells),
	}
}

// InSimulatedTime tells whether its clock is simulated, too.
func (c *Controller) InSimulatedTime() bool {
	_, is := c.clock.(*clock.Simulated)
	return is
}

// Start reports the state of every zone as retained, as a broker would.
func (c *Controller) Start(_ context.Context, to signal.Receiver) error {
	c.mu.Lock()
	c.to = to
	c.mu.Unlock()
	c.tellAll(to)
	return nil
}

// tellAll reports the state of every zone as one that was kept.
func (c *Controller) tellAll(to signal.Receiver) {
	for z := range c.site.Zones {
		zone := &c.site.Zones[z]
		state := signal.Restored
		if f, broken := c.faultOf(site.PointOf(zone.Number, 0), 0); broken && f.Kind == Inverted {
			state = signal.Active
		}
		to.Signal(signal.Signal{At: c.clock.Now(), Address: zone.Address, State: state, Kept: signal.Retained})
	}
	c.tellFaults(to)
}

// Close stops all that is still to come.
func (c *Controller) Close() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.closed = true
	c.stopAll()
	return nil
}

// stopAll prevents what is still to come. The caller holds the lock.
func (c *Controller) stopAll() {
	for _, stop := range c.stops {
		stop()
	}
	c.stops = nil
}

func (c *Controller) faultOf(p site.Point, trial int) (Fault, bool) {
	for _, f := range c.opt.Faults {
		if f.At == p && (f.Trials == 0 || trial <= f.Trials) {
			return f, true
		}
	}
	return Fault{}, false
}

// between draws a delay.
func (c *Controller) between(low, high time.Duration) time.Duration {
	return low + time.Duration(c.rng.Int64N(int64(high-low)))
}

func (c *Controller) sendFaulty(f Fault, delay time.Duration, zone *site.Zone, state signal.State, half record.Half) {
	opposite := signal.Restored
	if half == record.Restore {
		opposite = signal.Active
	}
	switch f.Kind {
	case Swapped:
		c.send(delay, c.site.Zone(f.With).Address, state)
	case Inverted:
		c.send(delay, zone.Address, opposite)
	case Slow:
		c.send(delay+c.site.Limits.Response[zone.Kind].Duration(), zone.Address, state)
	case Chatter:
		c.send(delay, zone.Address, state)
		c.send(delay+70*time.Millisecond, zone.Address, opposite)
		c.send(delay+190*time.Millisecond, zone.Address, state)
	}
}

// send reports an address after a delay. The caller holds the lock.
func (c *Controller) send(after time.Duration, address string, state signal.State) {
	c.later(after, func(at time.Time, to signal.Receiver) {
		to.Signal(signal.Signal{At: at, Address: address, State: state})
	})
}

// CanEnergise is true of every output that has an address.
func (c *Controller) CanEnergise(o *site.Output) bool { return o.Address != "" }

// Energise does it silently.
func (c *Controller) Energise(context.Context, *site.Output, bool) error { return nil }
