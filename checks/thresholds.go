package checks

import "slices"

// Known is how the value of a threshold is known.
type Known string

// The ways, from the firmest to the weakest.
const (
	LookedUp       Known = "looked up"
	FromMemory     Known = "from memory"
	CommonPractice Known = "common practice, no source"
)

// May is the outcome that a threshold may cause alone.
type May string

// The outcomes. What is not looked up never causes a fail: nothing that we
// assume may alone condemn an installation.
const (
	MayHold     May = "holds"
	MayUndecide May = "undecided"
	MayFail     May = "fail" // a danger is one too
)

// Threshold is a limit, or a value that limits follow from, of the trade.
type Threshold struct {
	ID     string  // a code, such as "lead-acid/float/holds-low"
	Value  float64 // in Unit; a voltage is that of one cell
	Unit   string  // SI symbol, "" for a factor
	Known  Known
	Source string // short name of what was looked up, "" for none
	Key    string // of the site file, which overrides it; "" for none
	May    May
}

// thresholds is the one table: each file adds the rows of its subject.
var thresholds = slices.Concat(chargeThresholds, dischargeThresholds, capacityThresholds, rechargeThresholds,
	timeThresholds(), usualThresholds, soundThresholds, loopThresholds, reusedThresholds,
	sinceThresholds, switchOverThresholds)

// Thresholds are all of them, in order of their subject.
func Thresholds() []Threshold { return slices.Clone(thresholds) }

var thresholdByID = func() map[string]float64 {
	all := map[string]float64{}
	for _, t := range thresholds {
		all[t.ID] = t.Value
	}
	return all
}()

// threshold is the value of a row. The tests name every code that is used: one
// that is not in the table cannot be built.
func threshold(id string) float64 {
	v, there := thresholdByID[id]
	if !there {
		panic("no threshold " + id)
	}
	return v
}
