package programme

import (
	"math"
	"slices"
	"time"

	"loopwitness/commission/site"
)

// LastProof is when a detector was proved last, and whether it failed, or was tried and not
// proved, at the latest visit that took it. Its zero value is that of one of which nothing
// is known.
type LastProof struct {
	At     time.Time
	Visit  string // the number of its certificate
	Missed bool
}

// Sample are the detectors that a visit takes of a site where a share of them was agreed,
// above 0 and up to 1, in the order of the site. It is the same for everybody who has the
// same records:
//
//   - always those of which no proof is known, those that were not proved when they were
//     taken last, and those that warn of fire or gas;
//   - of each zone at least one, that which was proved longest ago;
//   - further ones up to the share, those first that were proved longest ago.
//
// Those in keep are taken, too: a visit that goes on at a changed site drops none.
func Sample(s *site.Site, share float64, last func(site.Point, *site.Detector) LastProof, keep map[site.Point]bool,
) []site.Point {
	type candidate struct {
		point site.Point
		zone  int
		at    time.Time
	}
	var all []site.Point
	var rest []candidate
	taken, zones := map[site.Point]bool{}, map[int]bool{}
	take := func(p site.Point, zone int) { taken[p], zones[zone] = true, true }
	s.Each(func(p site.Point, z *site.Zone, d *site.Detector) {
		all = append(all, p)
		proof := last(p, d)
		if keep[p] || proof.At.IsZero() || proof.Missed || d.Kind.Trait().LifeSafety {
			take(p, z.Number)
			return
		}
		rest = append(rest, candidate{p, z.Number, proof.At})
	})
	slices.SortStableFunc(rest, func(a, b candidate) int { return a.at.Compare(b.at) })
	for _, c := range rest {
		if !zones[c.zone] {
			take(c.point, c.zone)
		}
	}
	want := int(math.Ceil(share*float64(len(all)) - 1e-9))
	for _, c := range rest {
		if len(taken) >= want {
			break
		}
		take(c.point, c.zone)
	}
	return slices.DeleteFunc(all, func(p site.Point) bool { return !taken[p] })
}

// Sampled are the steps of a programme without those of the walk-test whose detectors are
// not among some.
func Sampled(steps []Step, points []site.Point) []Step {
	in := map[site.Point]bool{}
	for _, p := range points {
		in[p] = true
	}
	return slices.DeleteFunc(slices.Clone(steps), func(s Step) bool {
		return s.Kind == StepDetector && s.Stage == StageWalkTest && !in[s.Point]
	})
}
