package certificate

import (
	"loopwitness/commission/invented"
	"loopwitness/commission/programme"
	"testing"
)

func TestHeights(t *testing.T) {
	for name, l := range map[string]invented.Large{"300": {Zones: 300, Detectors: 390, Spoilt: true}, "1000": {Zones: 500, Detectors: 1000}} {
		d := documentOf(t, l, programme.Handover)
		t.Log(name, len(paginate(d)))
		for _, s := range d.Sections {
			t.Logf("%5.2f %s", heightOf(s.Blocks)/(usable-footHeight-15), s.Title)
			for _, b := range s.Blocks {
				if h := heightOf([]Block{b}); h > 200 {
					t.Logf("     %5.2f %T", h/(usable-footHeight-15), b)
				}
			}
		}
	}
}
