package site

import (
	"slices"

	"loopwitness/checks"
)

// Feed are the detectors on the cable from the controller to a powered one, itself last;
// none for one that takes no power.
func (s *Site) Feed(p Point) (path []Point) {
	for !slices.Contains(path, p) { // Read refuses a ring
		_, d, err := s.Find(p)
		if err != nil || d.Power == nil {
			break
		}
		path = append(path, p)
		p = d.Power.After
	}
	slices.Reverse(path)
	return path
}

// CurrentsBeyond is what the section of cable before each powered detector carries, in A:
// what it draws itself, and all that is fed behind it.
func (s *Site) CurrentsBeyond() map[Point]float64 {
	beyond := map[Point]float64{}
	s.Each(func(p Point, _ *Zone, d *Detector) {
		for _, q := range s.Feed(p) {
			beyond[q] += d.Power.Current.SI
		}
	})
	return beyond
}

// Farthest is the powered detector to which the cable loses most voltage; where that cannot
// be told of any, the one with the longest cable; else the first. "" where none is powered.
func (s *Site) Farthest() Point {
	var farthest Point
	var most, longest float64
	beyond := s.CurrentsBeyond()
	s.Each(func(p Point, _ *Zone, d *Detector) {
		if d.Power == nil {
			return
		}
		drop, length := s.lost(p, beyond)
		if farthest == "" || drop > most || most == 0 && length > longest {
			farthest, most, longest = p, max(most, drop), length
		}
	})
	return farthest
}

// lost is the voltage that is lost to a detector, 0 where it is not known of a section, and
// the length of its cable in m, as far as that is known.
func (s *Site) lost(p Point, beyond map[Point]float64) (volt, metre float64) {
	known := true
	for _, q := range s.Feed(p) {
		_, d, _ := s.Find(q) // Feed has found it
		drop := d.Power.drop(beyond[q])
		volt, metre, known = volt+drop, metre+d.Power.CableLength.SI, known && drop > 0
	}
	if !known {
		return 0, metre
	}
	return volt, metre
}

// drop is the voltage that a section loses with a current in A, 0 where it is not known.
// Only which is the largest is asked of it: a temperature would change all of them alike.
func (p *Power) drop(ampere float64) float64 {
	const celsius = 20
	wire, err := p.Conductor.Resistance(checks.Flexible, celsius)
	if err != nil || p.Conductor.Text == "" {
		return 0
	}
	drop, err := checks.Run{LengthMetre: p.CableLength.SI, OhmPerMetre: wire.OhmPerMetre, Ampere: ampere}.Drop()
	if err != nil {
		return 0
	}
	return drop
}
