package visit

import (
	"slices"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// mostOfStranger is how many signals are written of an address that the site does
// not have. They are no answer to any cue; a wrong address shows in the first.
const mostOfStranger = 3

// sift leaves out what strangers say again and again, and the old states of theirs
// that a broker has kept: a source may hear all of a house, and must not fill the
// disk with it.
func (v *Visit) sift(all []arrival) []arrival {
	if v.full {
		return slices.DeleteFunc(all, func(a arrival) bool { return fromOutside(a.fact) }) // the visit ends
	}
	var seen map[string]int
	return slices.DeleteFunc(all, func(a arrival) bool {
		s, is := a.fact.(signal.Signal)
		if !is || v.record.Site().ZoneAt(s.Address) != nil {
			return false
		}
		v.countStranger(s)
		if seen == nil {
			seen = v.record.Strangers()
		}
		n, known := seen[s.Address]
		if s.Kept != "" || n >= mostOfStranger || !known && len(seen) >= record.MostStrangers {
			return true
		}
		seen[s.Address]++
		return false
	})
}
