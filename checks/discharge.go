package checks

import (
	"fmt"
	"math"
)

// dischargeThresholds are voltages a cell, and shares, of batteries that give
// current.
var dischargeThresholds = []Threshold{
	{ID: "lead-acid/on-battery/holds", Value: 12.5 / 6, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "measured discharge of a 100 Ah AGM battery: 12.61 V after 10 min, 12.51 V after 60 min at a tenth of C"},
	{ID: "lead-acid/on-battery/fails", Value: 2.0, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "measured discharge of a 100 Ah AGM battery: half used at 12.0 V and a tenth of C"},
	{ID: "lead-acid/end/holds", Value: 1.80, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "data sheets of 12 V AGM batteries, 7.2, 14 and 40 Ah: end of the 20 h rate"},
	{ID: "lead-acid/end/fails", Value: 1.60, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "data sheets of 12 V AGM batteries, 5, 7.2, 14 and 40 Ah: end of the 1 h rate"},
	{ID: "lithium-ion/on-battery/holds", Value: 4.026, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "open firmware of a battery management system, rest voltages: 80 % charged"},
	{ID: "lithium-ion/on-battery/fails", Value: 3.00, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "open firmware of a battery management system: the highest over-discharge trip"},
	{ID: "lithium-ion/end/holds", Value: 3.00, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "seller of cells: recommended end of discharge"},
	{ID: "lithium-ion/end/fails", Value: 2.40, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "data of a protection circuit: the lowest over-discharge trip"},
	{ID: "lithium-iron-phosphate/on-battery/holds", Value: 3.265, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "open firmware of a battery management system, rest voltages: half charged"},
	{ID: "lithium-iron-phosphate/on-battery/fails", Value: 2.50, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "open firmware of a battery management system: the highest over-discharge trip"},
	{ID: "lithium-iron-phosphate/end/holds", Value: 3.00, Unit: "V", Known: LookedUp, May: MayHold,
		Source: "firmware of a charge controller: load disconnected"},
	{ID: "lithium-iron-phosphate/end/fails", Value: 2.00, Unit: "V", Known: LookedUp, May: MayFail,
		Source: "maker's list of protection circuits: the lowest over-discharge trip"},
	{ID: "on-battery/least-minutes", Value: 10, Unit: "min", Known: LookedUp, May: MayHold,
		Source: "measured discharge of a 100 Ah AGM battery: the surface charge is gone"},
	{ID: "on-battery/most-minutes", Value: 60, Unit: "min", Known: LookedUp, May: MayFail,
		Source: "measured discharge of a 100 Ah AGM battery at a tenth of C: a good one has used a tenth"},
	{ID: "on-battery/largest-rate", Value: 0.1, Unit: "1/h", Known: LookedUp, May: MayFail,
		Source: "measured discharge of a 100 Ah AGM battery at a tenth of C"},
	{ID: "resistance/holds", Value: 1.3, Unit: "", Known: FromMemory, May: MayHold},
	{ID: "resistance/fails", Value: 2, Unit: "", Known: LookedUp, May: MayFail,
		Source: "manual of a battery tester: warning at twice the first value"},
}

// JudgeOnBattery judges a voltage in V at the terminals of a pack, behind no
// converter, that has carried a load in A for some minutes since it was full;
// uncertainty is the expanded one (k = 2) in V. ampereHour is the rated
// capacity, 0 for not known.
//
// Pass means only that there is no sign of a bad battery: a short trial never
// proves a capacity. It takes 10 minutes or more; a fail 60 minutes or fewer;
// both a load of a tenth of the capacity an hour or less, so that an unknown
// capacity is undecided. Lead-acid was measured at 15 °C and above: colder, the
// caller must not let it fail. Values and sources: rows "…/on-battery/…" of the
// table. What is negative or no number, or a pack that makes no sense: an error.
func (p Pack) JudgeOnBattery(volt, uncertainty, minutes, ampere, ampereHour float64) (Ruling, error) {
	if _, err := p.InSeries(); err != nil {
		return "", err
	}
	for _, v := range []float64{volt, uncertainty, minutes, ampere, ampereHour} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return "", fmt.Errorf("%w: %v ± %v V after %v min at %v A from %v Ah", ErrQuantity, volt, uncertainty, minutes,
				ampere, ampereHour)
		}
	}
	switch slow := ampereHour > 0 && ampere <= threshold("on-battery/largest-rate")*ampereHour; {
	case slow && minutes >= threshold("on-battery/least-minutes") &&
		ruled(volt, uncertainty, AtLeast(p.volts("on-battery/holds"))) == Pass:
		return Pass, nil
	case slow && minutes <= threshold("on-battery/most-minutes") &&
		ruled(volt, uncertainty, AtLeast(p.volts("on-battery/fails"))) == Fail:
		return Fail, nil
	}
	return Undecided, nil
}

// EndOfDischarge are voltages in V at which a discharge ends: holds is the
// cautious one that capacities are stated for, fails the lowest that is
// published. NaN for a pack that makes no sense.
func (p Pack) EndOfDischarge() (holds, fails float64) {
	return p.volts("end/holds"), p.volts("end/fails")
}

// JudgeResistance holds an internal resistance in Ω, with its expanded
// uncertainty (k = 2), against the battery's own first value: up to 1.3 times it
// passes, from twice on it fails. A first value of 0 or less, what is negative
// or no number: an error.
func JudgeResistance(ohm, uncertaintyOhm, firstOhm float64) (Ruling, error) {
	if !(ohm >= 0) || !(uncertaintyOhm >= 0) || !(firstOhm > 0) || math.IsInf(ohm+uncertaintyOhm+firstOhm, 0) {
		return "", fmt.Errorf("%w: a battery of %v ± %v Ω that had %v Ω", ErrQuantity, ohm, uncertaintyOhm, firstOhm)
	}
	switch {
	case ruled(ohm, uncertaintyOhm, AtMost(threshold("resistance/holds")*firstOhm)) == Pass:
		return Pass, nil
	case ruled(ohm, uncertaintyOhm, AtLeast(threshold("resistance/fails")*firstOhm)) == Pass:
		return Fail, nil
	}
	return Undecided, nil
}
