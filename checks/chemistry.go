package checks

import (
	"fmt"
	"math"
	"time"
)

// Chemistry is what a battery is made of.
type Chemistry string

// The chemistries, as site files name them.
const (
	LeadAcid             Chemistry = "lead-acid"
	LithiumIon           Chemistry = "lithium-ion" // cells of 3.7 V that are charged to 4.20 V
	LithiumIronPhosphate Chemistry = "lithium-iron-phosphate"
)

// Chemistries are all of them, as calculators take them.
var Chemistries = []string{string(LeadAcid), string(LithiumIon), string(LithiumIronPhosphate)}

// nature is what is the same for every battery of a chemistry: cells in series of
// a 12 V battery and the nominal voltage of one (looked up: data sheets of
// packs), a cautious Peukert exponent, and the years of its life in standby use.
var nature = map[Chemistry]struct {
	usualCells               int
	nominalVolt              float64
	exponent, usual, longest string
}{
	LeadAcid:             {6, 2.0, "lead-acid/peukert/usual", "lead-acid/life/usual", "lead-acid/life/longest"},
	LithiumIon:           {3, 3.7, "lithium/peukert/usual", "lithium/life/usual", "lithium/life/longest"},
	LithiumIronPhosphate: {4, 3.2, "lithium/peukert/usual", "lithium/life/usual", "lithium/life/longest"},
}

// Known tells whether there are limits for the chemistry.
func (c Chemistry) Known() bool { _, known := nature[c]; return known }

// UsualCells is how many cells in series a 12 V battery has: 6, 3 or 4; 0 for an
// unknown chemistry.
func (c Chemistry) UsualCells() int { return nature[c].usualCells }

// NominalVolt is the nominal voltage of cells in series: 2.0, 3.7 or 3.2 V each.
func (c Chemistry) NominalVolt(cells int) float64 { return nature[c].nominalVolt * float64(cells) }

// UsualExponent is a cautious Peukert exponent where none is given: lead-acid
// glass-mat 1.05 to 1.15, lithium about 1.05 (looked up). 1 for an unknown
// chemistry.
func (c Chemistry) UsualExponent() float64 {
	if !c.Known() {
		return 1
	}
	return threshold(nature[c].exponent)
}

// ServiceLife is the age at which a battery in standby use is usually renewed,
// and the longest life that is published. An age alone never fails: beyond the
// first it is advice, beyond the second undecided. Zero for an unknown
// chemistry. Sources and how they are known: rows "…/life/…" of the table.
func (c Chemistry) ServiceLife() (usual, longest time.Duration) {
	const year = 8766 * time.Hour
	if !c.Known() {
		return 0, 0
	}
	years := func(id string) time.Duration { return time.Duration(threshold(id) * float64(year)) }
	return years(nature[c].usual), years(nature[c].longest)
}

// Pack is cells of a chemistry in series. Cells 0 is the usual number.
type Pack struct {
	Chemistry Chemistry
	Cells     int
}

// mostCells is a 48 V lead-acid battery: no alarm has a larger one.
const mostCells = 24

// InSeries is the number of cells. An unknown chemistry, or a number outside 1
// to 24: an error.
func (p Pack) InSeries() (int, error) {
	n := p.Cells
	if n == 0 {
		n = p.Chemistry.UsualCells()
	}
	if !p.Chemistry.Known() || n < 1 || n > mostCells {
		return 0, fmt.Errorf("%w: a battery of %d cells %q; there are 1 to %d in series", ErrQuantity, n, p.Chemistry,
			mostCells)
	}
	return n, nil
}

// otherCells are the numbers in series that batteries are sold with, beside the usual: of 6,
// 7.4, 14.8, 16 or 24 V and the like (*common practice, no source*).
var otherCells = map[Chemistry][]int{LeadAcid: {3, 12}, LithiumIon: {2, 4, 7}, LithiumIronPhosphate: {2, 5, 8}}

// Otherwise are the packs that it may be as well: none where the number of cells is known.
func (p Pack) Otherwise() (others []Pack) {
	if p.Cells == 0 {
		for _, n := range otherCells[p.Chemistry] {
			others = append(others, Pack{p.Chemistry, n})
		}
	}
	return others
}

// volts is a voltage a cell times the cells; NaN for a pack that makes no sense.
func (p Pack) volts(id string) float64 {
	n, err := p.InSeries()
	if err != nil {
		return math.NaN()
	}
	return threshold(string(p.Chemistry)+"/"+id) * float64(n)
}
