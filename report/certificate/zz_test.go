package certificate

import (
	"loopwitness/commission/invented"
	"loopwitness/commission/programme"
	"testing"
)

func TestHeights(t *testing.T) {
	for name, l := range map[string]invented.Large{"300": {Zones: 300, Detectors: 390, Spoilt: true}, "30": {Zones: 30, Detectors: 40}} {
		d := documentOf(t, l, programme.Handover)
		sheets := paginate(d)
		for i, s := range sheets {
			used := 0.0
			for _, p := range s {
				used += p.height
			}
			first := ""
			for _, p := range s[1:] {
				if len(p.texts) > 0 && first == "" {
					first = p.texts[0].text
				}
			}
			t.Logf("%s page %d free %3.0f  %s", name, i+1, A4.room()-used, first)
		}
	}
}
