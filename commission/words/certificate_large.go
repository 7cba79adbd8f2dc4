package words

import (
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// What a certificate of many zones and detectors says of several that are alike.
const (
	DropsHeading    Heading = "drops"     // the voltage at each detector, after all else
	DetectorsColumn Column  = "detectors" // points of several
	CurrentColumn   Column  = "current"
	VoltageColumn   Column  = "voltage"
	DropsNote       Note    = "drops"        // what stands in that annex
	LoopsShared     Note    = "loops/shared" // zones of one row
)

// DropsOf are so many detectors that were computed alike.
type DropsOf struct{ N int }

// DropsLowest is the lowest voltage of several detectors, and the one that has it.
type DropsLowest struct {
	Volt float64
	At   programme.DetectorName
}

// DropsFrom is what several voltages were computed from: the supply in V, the shortest and the longest cable in m, the
// rules of their resistances, and the lowest and the highest current in A.
type DropsFrom struct {
	Supply                 float64
	From, To               float64
	Rules                  []checks.WireRule
	CurrentFrom, CurrentTo float64
	Annex                  Heading // where each stands
}

// FedBy is the cable that feeds a detector.
type FedBy struct{ Row judge.DropRow }

// AlikeZones are the zones that one entry is about.
type AlikeZones struct{ Of Zones }

// AlikePoints are the detectors that one entry or row is about.
type AlikePoints struct{ Of []site.Point }

// Code names the phrase.
func (DropsOf) Code() string     { return "certificate/drops-of" }
func (DropsLowest) Code() string { return "certificate/drops-lowest" }
func (DropsFrom) Code() string   { return "certificate/drops-from" }
func (FedBy) Code() string       { return "certificate/fed-by" }
func (AlikeZones) Code() string  { return "certificate/alike-zones" }
func (AlikePoints) Code() string { return "certificate/alike-points" }

// severalZones is from how many on zones are told by their numbers alone.
const severalZones = 6

// FewZones are zones by their names, or many by their numbers.
func FewZones(all []programme.ZoneName) (out []Phrase) {
	var numbers Zones
	for _, z := range all {
		numbers = append(numbers, z.Number)
		out = append(out, z)
	}
	if len(all) < severalZones {
		return out
	}
	slices.Sort(numbers)
	return []Phrase{AlikeZones{Of: numbers}}
}
