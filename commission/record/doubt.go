package record

import "loopwitness/commission/site"

// Range is where a quantity can be, in SI units. What lies outside is not refused: it is
// asked whether it is meant. Dead: 0 can be as well, nothing is there.
type Range struct {
	Lower, Upper float64
	Dead         bool
}

// Has tells whether a value can well be.
func (r Range) Has(si float64) bool { return si >= r.Lower && si <= r.Upper || r.Dead && si == 0 }

// What can be. All *common practice, no source*: wide enough that an honest reading is
// hardly ever doubted, and narrow enough for a lost decimal point or a wrong unit.
var (
	SupplyRange   = Range{3, 16, true}     // V; 1.29 V is a slip, 0 V a dead battery
	DrawnRange    = Range{0.001, 5, false} // A
	LoopRange     = Range{0, 10e6, false}  // ohm
	LevelRange    = Range{40, 130, false}  // dB
	DistanceRange = Range{0.1, 30, false}  // m
)

// mostOfNominal is beyond what any battery is charged to, as a part of its nominal
// voltage: 2.45 V of 2 V a cell, 4.2 V of 3.7 V, 3.65 V of 3.2 V (from memory).
const mostOfNominal = 1.4

// SupplyVolts is where the supply's voltage can be at a site, and whether its cells bound
// it. A site whose limits let it be higher than a supply of 12 V is asked about nothing
// that it lets be.
func SupplyVolts(s *site.Site) (can Range, ofCells bool) {
	can = SupplyRange
	if cells := nominalCells(s); cells > 0 {
		can.Upper, ofCells = mostOfNominal*cells, true
	}
	can.Upper = max(can.Upper, s.Limits.MainsUpper.SI)
	return can, ofCells
}

// nominalCells is the nominal voltage of the battery that is charged at the supply's
// terminals, 0 where the site file does not say it: a pack behind a converter is not
// seen there.
func nominalCells(s *site.Site) float64 {
	if s.Supply.Battery.Efficiency.Given() {
		return 0
	}
	return s.Supply.Battery.Voltage.SI
}

// doubted tells whether a reading is one about which it is asked whether it is meant.
func (r Reading) doubted(s *site.Site) bool {
	switch r.Quantity {
	case VoltageReading:
		can, _ := SupplyVolts(s)
		return !can.Has(r.Value)
	case CurrentReading:
		return !DrawnRange.Has(r.Value)
	case LoopReading:
		return !r.Open && !LoopRange.Has(r.Value)
	case LevelReading:
		return !LevelRange.Has(r.Value) || !DistanceRange.Has(r.Distance)
	}
	return false
}
