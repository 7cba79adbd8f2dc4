package extract

import (
	"slices"
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// waysOf are the ways that the visit listened in at once, as it did last; none where there was one.
func waysOf(r *record.Record) (all []Way) {
	var last signal.Listening
	for _, l := range r.Sources() {
		if len(l.Ears) > 0 {
			last = l
		}
	}
	for _, ear := range last.Ears {
		way := Way{Way: string(ear.Way), UncertaintySecond: time.Duration(ear.UncertaintyNS).Seconds(), Zones: []int{}}
		for _, z := range r.Site().Zones {
			if slices.Contains(ear.Addresses, z.Address) {
				way.Zones = append(way.Zones, z.Number)
			}
		}
		all = append(all, way)
	}
	return all
}
