package simulated

import (
	"context"
	"fmt"
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
	}
	return t.Operator.Ask(ctx, q)
}

// Watch waits before, in simulated time, until the controller can be reached again: a
// script would say that it is ready again and again in the same instant.
func (t technician) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if away := t.building.awayFor(); away > 0 {
		clock.Sleep(t.building.clock, away)
	}
	return t.Operator.Watch(ctx, w)
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

// volts is what a voltmeter at the supply terminals shows.
func (c *Controller) volts() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	noise := c.rng.NormFloat64() * 0.004
	return max(0, c.terminals(c.clock.Now())+noise)
}
