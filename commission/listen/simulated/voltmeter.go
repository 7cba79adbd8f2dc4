package simulated

import (
	"context"
	"fmt"
	"path"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/visit"
)

// Join gives a visit whose source is a simulated controller what belongs to it: the
// building reads the journal, and the technician holds its voltmeter. Any other visit
// stays as it is.
func Join(c visit.Config) visit.Config {
	building, is := c.Source.(*Controller)
	if !is {
		return c
	}
	c.Readers = append(c.Readers, building)
	c.Operator = technician{c.Operator, building}
	return c
}

// technician is the operator with the practice voltmeter, and with eyes and ears for the
// building.
type technician struct {
	ask.Operator
	building *Controller
}

// Ask says where the practice voltmeter takes the place of another, and shows what it
// shows where a voltage of the supply is asked for, and whether an output works.
func (t technician) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	switch what := q.What.(type) {
	case ask.Identify:
		t.Tell(ask.PracticeVoltmeter{})
	case ask.SupplyVoltage:
		q.Shown = fmt.Sprintf("%.2f V", t.building.volts())
	case ask.Observed:
		q.Shown = ask.No
		if t.building.works(what.Output) {
			q.Shown = ask.Yes
		}
	case ask.DetectorVoltage:
		q.Shown = fmt.Sprintf("%.2f V", t.building.volts()-cableVolt)
	}
	return t.Operator.Ask(ctx, q)
}

// Watch minds, in simulated time, what a person would see: it waits until the controller
// can be reached again, since a script would say that it is ready again and again in the
// same instant; and nobody hears what is silent.
func (t technician) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if away := t.building.awayFor(); away > 0 {
		clock.Sleep(t.building.clock, away)
	}
	if t.building.neverHeard(w) {
		w.ID, w.Unattended = unheard, ""
	}
	return t.Operator.Watch(ctx, w)
}

// unheard names a wait for what is never heard: no script has an answer for it.
const unheard = "nothing is heard"

// neverHeard tells whether in simulated time a watch waits for an output to be heard that
// does nothing.
func (c *Controller) neverHeard(w ask.Watch) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	step := c.steps[path.Dir(w.ID)]
	return c.InSimulatedTime() && slices.Contains(w.Keys, ask.Heard) && c.opt.Outputs[step.Output].Silent
}

// awayFor is for how long in simulated time the controller cannot be reached.
func (c *Controller) awayFor() time.Duration {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.InSimulatedTime() {
		return 0
	}
	return c.away.Sub(c.clock.Now())
}

// cableVolt is what the cable to the farthest detector loses.
const cableVolt = 0.12

// volts is what a voltmeter at the supply terminals shows.
func (c *Controller) volts() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	noise := c.rng.NormFloat64() * 0.004
	return max(0, c.terminals(c.clock.Now())+noise)
}
