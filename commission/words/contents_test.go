package words_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// contentExamples are what is said of papers, cables and what is fitted.
var contentExamples = []words.Phrase{
	words.Fitted{Detectors: []words.OfKind{{Kind: site.DetectorKind("door"), N: 2}},
		Outputs: []words.OfKind{{Kind: site.Sounder, N: 1}, {Kind: site.Chime, N: 2}}},
	words.ZoneCable{Type: "screened", Length: "26 m", Conductor: "0.22 mm²", Reused: true},
	words.CablesReused{Yes: words.Zones{3, 4}, No: words.Zones{1}, Unsaid: words.Zones{2}},
	words.InPlaceOf{Revision: 1}, words.FileHash{Begins: "0123 4567"},
}

func TestContentsAreSaid(t *testing.T) {
	for want, p := range map[string]words.Phrase{
		"3 detectors: 2 door, 1 smoke; 1 strobe": words.Fitted{
			Detectors: []words.OfKind{{Kind: site.DetectorKind("door"), N: 2}, {Kind: site.DetectorKind("smoke"), N: 1}},
			Outputs:   []words.OfKind{{Kind: site.Strobe, N: 1}}},
		"1 detector: 1 door": words.Fitted{
			Detectors: []words.OfKind{{Kind: site.DetectorKind("door"), N: 1}}},
		"cable 26 m of 0.22 mm², reused": words.ZoneCable{Length: "26 m", Conductor: "0.22 mm2", Reused: true},
		"cable, reused":                  words.ZoneCable{Reused: true},
		"cable 26 m":                     words.ZoneCable{Length: "26 m"},
		"cable 22 AWG, screened":         words.ZoneCable{Conductor: "22 AWG", Type: "screened"},
		"yes: zones 3–4; no: zone 1":     words.CablesReused{Yes: words.Zones{3, 4}, No: words.Zones{1}},
		"not said: zone 2":               words.CablesReused{Unsaid: words.Zones{2}},
		"the first of this visit":        words.InPlaceOf{Revision: 1},
		"in place of rev. 2":             words.InPlaceOf{Revision: 3},
	} {
		assert.Equal(t, want, words.English{}.Say(p))
	}
	assert.Empty(t, words.English{}.Say(words.ZoneCable{}))
}
