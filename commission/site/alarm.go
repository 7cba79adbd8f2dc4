package site

import "loopwitness/checks"

// AlarmOutputs are the outputs that an alarm energises together: all but chimes.
func (s *Site) AlarmOutputs() []*Output {
	var all []*Output
	for i := range s.Outputs {
		if s.Outputs[i].Kind != Chime {
			all = append(all, &s.Outputs[i])
		}
	}
	return all
}

// Farthest is the powered detector whose cable loses most voltage; where that cannot be
// told of any, the one with the longest cable; else the first. "" where none is powered.
func (s *Site) Farthest() Point {
	var farthest Point
	var most, longest float64
	s.Each(func(p Point, _ *Zone, d *Detector) {
		if d.Power == nil {
			return
		}
		drop, length := d.Power.drop(), d.Power.CableLength.SI
		if farthest == "" || drop > most || most == 0 && length > longest {
			farthest, most, longest = p, max(most, drop), length
		}
	})
	return farthest
}

// drop is the voltage that the cable loses, 0 where it is not known. Only which is the
// largest is asked of it: a temperature would change all of them alike.
func (p *Power) drop() float64 {
	const celsius = 20
	wire, err := p.Conductor.Resistance(checks.Flexible, celsius)
	if err != nil || p.Conductor.Text == "" {
		return 0
	}
	drop, err := checks.Run{LengthMetre: p.CableLength.SI, OhmPerMetre: wire.OhmPerMetre, Ampere: p.Current.SI}.Drop()
	if err != nil {
		return 0
	}
	return drop
}
