package simulated

import (
	"context"
	"fmt"
	"path"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
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
	c.Operator = withBuilding(c.Operator, building)
	return c
}

// withBuilding is an operator in a building, which can still do what it could.
func withBuilding(o ask.Operator, building *Controller) ask.Operator {
	t := technician{o, building}
	shower, shows := o.(ask.Shower)
	device, is := o.(ask.Device)
	switch {
	case is && shows:
		return struct {
			handheld
			ask.Shower
		}{handheld{t, device}, shower}
	case is:
		return handheld{t, device}
	case shows:
		return struct {
			technician
			ask.Shower
		}{t, shower}
	}
	return t
}

// handheld is a technician with a device.
type handheld struct {
	technician
	device ask.Device
}

func (h handheld) Serve(does ask.OutOfTurn)  { h.device.Serve(does) }
func (h handheld) Silent() time.Duration     { return h.device.Silent() }
func (h handheld) Sounding(outputs []string) { h.device.Sounding(outputs) }
func (h handheld) Keeps() bool               { return h.device.Keeps() }
func (h handheld) Hail()                     { h.device.Hail() }
func (h handheld) Draws() bool               { return h.device.Draws() }

// technician is the operator with the practice voltmeter, and with eyes and ears for the
// building.
type technician struct {
	ask.Operator
	building *Controller
}

// Ask says where the practice meter takes the place of another, and shows what it shows
// where a voltage or a current is asked for, and whether an output works.
func (t technician) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	if _, is := q.What.(ask.Identify); is {
		t.Tell(ask.PracticeVoltmeter{})
	}
	q.Shown = t.building.shown(q)
	return t.Operator.Ask(ctx, q)
}

// shown is what there is to see of a question in the building, "" for nothing.
func (c *Controller) shown(q ask.Question) string {
	switch what := q.What.(type) {
	case ask.SupplyVoltage:
		return fmt.Sprintf("%.2f V", c.volts())
	case ask.DetectorVoltage:
		return fmt.Sprintf("%.2f V", c.volts()-c.lost(what.Step.Detector.Point))
	case ask.SystemCurrent:
		return fmt.Sprintf("%.0f mA", 1000*c.amperes(""))
	case ask.Matter:
		if what == ask.CentreClockAsked {
			return centreClock(c.clock.Now())
		}
		if drawn := c.amperes(c.stepOf(q.ID).Output); what == ask.CurrentMatter && drawn > 0 {
			return fmt.Sprintf("%.0f mA", 1000*drawn)
		}
	case ask.CentreSays:
		return c.centreSays()
	case ask.ObservedUntil:
		if c.works(what.Output) {
			return ask.Yes
		}
		return ask.No
	case ask.Observed:
		if c.works(what.Output) {
			return ask.Yes
		}
		return ask.No
	}
	return ""
}

// stepOf is the step that a question or a watch belongs to.
func (c *Controller) stepOf(id string) programme.Step {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.steps[path.Dir(id)]
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
	if key := t.heardBy(w); key != "" {
		w.Unattended = key
	}
	return t.Operator.Watch(ctx, w)
}

// unheard names a wait for what is never heard: no script has an answer for it.
const unheard = "nothing is heard"

// neverHeard tells whether in simulated time a watch waits for an output to be heard that
// does nothing.
func (c *Controller) neverHeard(w ask.Watch) bool {
	return c.InSimulatedTime() && slices.Contains(w.Keys, ask.Heard) && c.opt.Outputs[c.stepOf(w.ID).Output].Silent
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
