package checks

import (
	"fmt"
	"slices"
)

// capacityThresholds are those of capacity by rate, cold and age.
var capacityThresholds = slices.Concat([]Threshold{
	{ID: "lead-acid/peukert/usual", Value: 1.15, Unit: "", Known: LookedUp, Key: "supply.battery.exponent",
		May: MayUndecide, Source: "handbook text: glass-mat batteries 1.05 to 1.15"},
	{ID: "lithium/peukert/usual", Value: 1.05, Unit: "", Known: LookedUp, Key: "supply.battery.exponent",
		May: MayUndecide, Source: "handbook text: lithium-ion about 1.05"},
	{ID: "peukert/shortest", Value: 1, Unit: "h", Known: LookedUp, May: MayUndecide,
		Source: "data sheets of 12 V AGM batteries, 7.2 and 7.5 Ah: the law errs by a tenth up to here, by half at 5 min"},
	{ID: "lead-acid/life/usual", Value: 4, Unit: "a", Known: CommonPractice, May: MayUndecide},
	{ID: "lead-acid/life/longest", Value: 8, Unit: "a", Known: LookedUp, May: MayUndecide,
		Source: "data sheet of a 12 V AGM battery, 40 Ah: 6 to 8 years at 25 °C"},
	{ID: "lithium/life/usual", Value: 5, Unit: "a", Known: CommonPractice, May: MayUndecide},
	{ID: "lithium/life/longest", Value: 14, Unit: "a", Known: LookedUp, May: MayUndecide,
		Source: "calendar model, American Control Conference 2017: 80 % left at 25 °C (weak)"},
}, coldThresholds("lead-acid/cold/cautious", MayHold, "IEEE 485 table 1, 1.215 s.g.", coldRows),
	coldThresholds("lead-acid/cold/favourable", MayFail, "makers of AGM batteries: capacity by temperature", glassMatRows),
	coldThresholds("lithium-ion/cold/cautious", MayHold, "data sheets: rated capacity", lithiumIonRows),
	coldThresholds("lithium-iron-phosphate/cold/cautious", MayHold, "manual of a 12 V pack", ironPhosphateRows))

// coldThresholds are the rows as thresholds.
func coldThresholds(code string, may May, source string, rows []coldRow) []Threshold {
	var out []Threshold
	for _, r := range rows {
		t := Threshold{ID: fmt.Sprintf("%s/%v °C", code, r.celsius), Value: r.factor, Known: r.known, May: may}
		if r.known == LookedUp {
			t.Source = source
		}
		out = append(out, t)
	}
	return out
}
