package site

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"loopwitness/checks"
)

// What a site file may leave out and nobody can assume: it is read from plates and papers, or
// measured, where a system of somebody else is taken over.

// WiringUnknown is a circuit of which nobody knows yet how it is wired.
const WiringUnknown Wiring = "not known"

// Group is what belongs together of a part of the system: what one plate says.
type Group string

// The groups.
const (
	GroupController Group = "controller"
	GroupAdapter    Group = "adapter"
	GroupCharger    Group = "charger"
	GroupBattery    Group = "battery"
	GroupWiring     Group = "wiring"  // of a zone
	GroupCable      Group = "cable"   // of a zone
	GroupPowered    Group = "powered" // of a detector
	GroupOutput     Group = "output"  // of one
	GroupForm       Group = "form"    // how the battery stands in the supply: the programme depends on it
)

// Code names the group.
func (g Group) Code() string { return "group/" + string(g) }

// Part is a part of the system of which something may not be known. Zone, Point and Output are
// set by its group.
type Part struct {
	Group  Group
	Zone   int
	Point  Point
	Output string
}

// Unknown are the parts of which the file does not say something, in the order of the file's
// table of keys.
func (s *Site) Unknown() (parts []Part) {
	add := func(p Part) {
		if len(s.Missing(p)) > 0 {
			parts = append(parts, p)
		}
	}
	add(Part{Group: GroupController})
	for i := range s.Zones {
		add(Part{Group: GroupWiring, Zone: s.Zones[i].Number})
		add(Part{Group: GroupCable, Zone: s.Zones[i].Number})
	}
	s.Each(func(p Point, _ *Zone, _ *Detector) { add(Part{Group: GroupPowered, Point: p}) })
	for _, o := range s.Outputs {
		add(Part{Group: GroupOutput, Output: o.Name})
	}
	for _, g := range []Group{GroupAdapter, GroupCharger, GroupForm, GroupBattery} {
		add(Part{Group: g})
	}
	return parts
}

// Missing are the keys that a part lacks.
func (s *Site) Missing(p Part) []string {
	var keys []string
	lacks := func(key string, there bool) {
		if !there {
			keys = append(keys, key)
		}
	}
	c, u := s.Controller, s.Supply
	switch p.Group {
	case GroupController:
		lacks("controller.current", c.Current.Given())
		lacks("controller.detector_output", c.DetectorOutput.Given() || !s.takesPower())
		lacks("controller.alarm_output", c.AlarmOutput.Given() || len(s.AlarmOutputs()) == 0)
	case GroupAdapter:
		lacks("supply.adapter.rating", u.Adapter.Rating.Given() || u.Adapter.Apparent.Given())
		lacks("supply.adapter.voltage", u.Adapter.Voltage.Given())
	case GroupCharger:
		lacks("supply.charger.voltage", u.Charger.Voltage.Given() || !u.Battery.Seen())
		lacks("supply.charger.current", u.Charger.Current.Given() || !s.Supply.HasBattery())
	case GroupForm:
		lacks("supply.battery.form", u.Battery.FormGiven || !s.Supply.HasBattery())
	case GroupBattery:
		s.missingOfBattery(lacks)
	case GroupWiring:
		if z := s.Zone(p.Zone); z != nil {
			lacks("zones[].wiring", z.Wiring != WiringUnknown)
			for _, key := range z.Wiring.Resistors() {
				lacks("zones[]."+key, z.resistor(key).Given())
			}
		}
	case GroupCable:
		if z := s.Zone(p.Zone); z != nil {
			lacks("zones[].cable.length", z.Cable != nil && z.Cable.Length.Given())
			lacks("zones[].cable.conductor", z.Cable != nil && z.Cable.Conductor.Text != "")
		}
	case GroupPowered:
		if _, d, err := s.Find(p.Point); err == nil && (d.Power != nil || d.Kind.Trait().Powered) {
			power := d.Power
			if power == nil {
				power = &Power{}
			}
			lacks("zones[].detectors[].powered.current", power.Current.Given())
			lacks("zones[].detectors[].powered.minimum", power.Minimum.Given())
			lacks("zones[].detectors[].powered.cable_length", power.CableLength.Given())
			lacks("zones[].detectors[].powered.conductor", power.Conductor.Text != "")
		}
	case GroupOutput:
		if o := s.Output(p.Output); o != nil {
			lacks("outputs[].current", o.Current.Given())
			lacks("outputs[].own_battery", o.OwnGiven || o.Kind == Chime)
		}
	}
	return keys
}

func (s *Site) missingOfBattery(lacks func(key string, there bool)) {
	b := s.Supply.Battery
	if !s.Supply.HasBattery() {
		return
	}
	lacks("supply.battery.cells", b.Cells > 0)
	if b.Seen() {
		lacks("supply.battery.capacity", b.Capacity.Given())
	} else {
		lacks("supply.battery.energy", b.Energy.Given() || b.Capacity.Given())
		lacks("supply.battery.output", b.Output.Given())
	}
	lacks("supply.battery.fitted", b.Fitted != "")
}

// takesPower tells whether any detector takes power, be it not said how much.
func (s *Site) takesPower() (found bool) {
	s.Each(func(_ Point, _ *Zone, d *Detector) { found = found || d.Power != nil || d.Kind.Trait().Powered })
	return found
}

func (z *Zone) resistor(key string) *checks.Quantity {
	switch key {
	case "end_of_line":
		return &z.EndOfLine
	case "contact_resistor":
		return &z.ContactResistor
	}
	return &z.FaultResistor
}

// ErrNoValue says that a text is no value of a key.
var ErrNoValue = errors.New("no value of that key")

// With is the site with a value of a key that a part lacks, as if the file had it; the site
// itself stays as it is. Raw stays what the file holds. Errors wrap ErrNoValue.
func (s *Site) With(p Part, key, text string) (*Site, error) {
	if !slices.Contains(s.Missing(p), key) || p.Group == GroupForm {
		return nil, fmt.Errorf("%w: %s is not missing", ErrNoValue, key)
	}
	c := *s
	c.Zones, c.Outputs = slices.Clone(s.Zones), slices.Clone(s.Outputs)
	v := value{key: keyAt(key), text: text}
	switch p.Group {
	case GroupWiring, GroupCable:
		v.ofZone(c.Zone(p.Zone))
	case GroupPowered:
		at := c.places[p.Point]
		z := &c.Zones[at.zone]
		z.Detectors = slices.Clone(z.Detectors)
		v.ofDetector(&z.Detectors[at.detector])
	case GroupOutput:
		v.ofOutput(c.Output(p.Output))
	default:
		v.ofSupply(&c)
	}
	if v.err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrNoValue, key, v.err)
	}
	return &c, nil
}

// value is a text that becomes the value of a key.
type value struct {
	key  Key
	text string
	err  error
}

func (v *value) quantity() checks.Quantity {
	q, err := v.key.In.Parse(v.text)
	switch {
	case err != nil:
		v.err = err
	case v.key.Above && q.SI <= 0, q.SI < 0:
		v.err = fmt.Errorf("%s is not above zero", q.Text)
	}
	return q
}

func (v *value) conductor() checks.Conductor {
	c, err := checks.ParseConductor(v.text)
	v.err = err
	return c
}

func (v *value) ofZone(z *Zone) {
	switch v.key.Name() {
	case "wiring":
		if z.Wiring = Wiring(v.text); !slices.Contains(Wirings, v.text) || z.Wiring == WiringUnknown {
			v.err = fmt.Errorf("%q is no wiring", v.text)
		}
	case "length", "conductor":
		cable := Cable{}
		if z.Cable != nil {
			cable = *z.Cable
		}
		if z.Cable = &cable; v.key.Name() == "length" {
			cable.Length = v.quantity()
		} else {
			cable.Conductor = v.conductor()
		}
	default:
		*z.resistor(v.key.Name()) = v.quantity()
	}
}

func (v *value) ofDetector(d *Detector) {
	power := Power{}
	if d.Power != nil {
		power = *d.Power
	}
	switch v.key.Name() {
	case "current":
		power.Current = v.quantity()
	case "minimum":
		power.Minimum = v.quantity()
	case "cable_length":
		power.CableLength = v.quantity()
	case "conductor":
		power.Conductor = v.conductor()
	}
	d.Power = &power
}

func (v *value) ofOutput(o *Output) {
	if v.key.Name() == "current" {
		o.Current = v.quantity()
		return
	}
	if o.OwnBattery, o.OwnGiven = v.text == "yes", true; v.text != "yes" && v.text != "no" {
		v.err = fmt.Errorf("%q is neither yes nor no", v.text)
	}
}

func (v *value) ofSupply(s *Site) {
	u := &s.Supply
	switch strings.TrimPrefix(v.key.Path, "supply.") {
	case "controller.current":
		s.Controller.Current = v.quantity()
	case "controller.detector_output":
		s.Controller.DetectorOutput = v.quantity()
	case "controller.alarm_output":
		s.Controller.AlarmOutput = v.quantity()
	case "adapter.rating":
		if q, err := checks.Apparent.Parse(v.text); err == nil && q.SI > 0 {
			u.Adapter.Apparent = q
			return
		}
		v.key.In = checks.Current
		u.Adapter.Rating = v.quantity()
	case "adapter.voltage":
		u.Adapter.Voltage = v.quantity()
	case "charger.voltage":
		u.Charger.Voltage = v.quantity()
	case "charger.current":
		u.Charger.Current = v.quantity()
	case "battery.cells":
		n, ok := wholeNumber(v.text)
		if u.Battery.Cells = n; !ok || float64(n) > v.key.Up {
			v.err = fmt.Errorf("%q is no number of cells", v.text)
		}
	case "battery.capacity":
		u.Battery.Capacity = v.quantity()
	case "battery.energy":
		u.Battery.Energy = v.quantity()
	case "battery.output":
		u.Battery.Output = v.quantity()
	case "battery.fitted":
		if _, err := time.Parse(time.DateOnly, v.text); err != nil {
			v.err = fmt.Errorf("%q is no date", v.text)
		}
		u.Battery.Fitted = v.text
	}
}
