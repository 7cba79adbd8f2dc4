package simulated

import (
	"context"
	"fmt"

	"loopwitness/commission/ask"
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

// technician is the operator with the practice voltmeter.
type technician struct {
	ask.Operator
	building *Controller
}

// Ask says where the practice voltmeter takes the place of another, and shows what it
// shows where a voltage of the supply is asked for.
func (t technician) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	switch q.What.(type) {
	case ask.Identify:
		t.Tell(ask.PracticeVoltmeter{})
	case ask.SupplyVoltage:
		q.Shown = fmt.Sprintf("%.2f V", t.building.volts())
	case ask.DetectorVoltage:
		q.Shown = fmt.Sprintf("%.2f V", t.building.volts()-cableVolt)
	}
	return t.Operator.Ask(ctx, q)
}

// cableVolt is what the cable to the farthest detector loses.
const cableVolt = 0.12

// volts is what a voltmeter at the supply terminals shows.
func (c *Controller) volts() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	noise := c.rng.NormFloat64() * 0.004
	if c.mainsOff.IsZero() {
		return 13.62 + noise
	}
	hours := max(0, c.clock.Now().Sub(c.mainsOff).Hours())
	volts := 12.74 - 0.05*hours - 0.06*min(1, hours*20)
	if c.opt.Sagging {
		volts -= 9 * hours
	}
	if c.sounding {
		volts -= 0.19
	}
	return volts + noise
}
