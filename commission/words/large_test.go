package words_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

var ofMany = programme.DetectorName{Point: "176.1", Name: "Glass-break detector A"}

// largeExamples are what stands for several that are alike.
var largeExamples = []words.Phrase{
	words.DropsOf{N: 195}, words.DropsLowest{Volt: 10.206, At: ofMany},
	words.DropsFrom{Supply: 10.5, From: 6, To: 88, CurrentFrom: 0.012, CurrentTo: 0.025,
		Rules: []checks.WireRule{checks.RuleIEC60228}, Annex: words.DropsHeading},
	words.FedBy{Row: judge.DropRow{Length: "13 m", Conductor: "0.22 mm2", After: "3.1", Before: 0.12}},
	words.AlikeZones{Of: words.Zones{3, 4, 5, 9}}, words.AlikePoints{Of: []site.Point{"5.1", "5.2", "5.3", "6.1"}},
}

func TestWhatStandsForSeveral(t *testing.T) {
	for want, p := range map[string]words.Phrase{
		"Voltage at 195 powered detectors":                      words.DropsOf{N: 195},
		"at the least 10.21 V, at 176.1 Glass-break detector A": words.DropsLowest{Volt: 10.206, At: ofMany},
		"13 m of 0.22 mm²": words.FedBy{Row: judge.DropRow{Length: "13 m",
			Conductor: "0.22 mm2"}},
		"13 m of 0.22 mm², after 3.1, 0.12 V lost before it": largeExamples[3],
		"zones 3–5, 9": largeExamples[4],
		"5.1–5.3, 6.1": largeExamples[5],
	} {
		assert.Equal(t, want, words.English{}.Say(p))
	}
	few, many := make([]programme.ZoneName, 5), make([]programme.ZoneName, 6)
	for i := range many {
		many[i] = programme.ZoneName{Number: 9 - i, Name: "Till"}
	}
	copy(few, many)
	assert.Len(t, words.FewZones(few), 5)
	assert.Equal(t, []words.Phrase{words.AlikeZones{Of: words.Zones{4, 5, 6, 7, 8, 9}}}, words.FewZones(many))
}
