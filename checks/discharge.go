package checks

import "fmt"

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
	if !amounts(volt, uncertainty, minutes, ampere, ampereHour) {
		return "", fmt.Errorf("%w: %v ± %v V after %v min at %v A from %v Ah", ErrQuantity, volt, uncertainty, minutes,
			ampere, ampereHour)
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

// AsIfCharged tells that a voltage in V, read 10 minutes or more after mains was removed,
// is higher than a lead-acid battery stands without a charger, by more than its expanded
// uncertainty in V: mains was not removed, or the reading is another one's. Lithium rests as
// high as it is charged: false.
func (p Pack) AsIfCharged(volt, uncertainty float64) bool {
	return p.Chemistry == LeadAcid && volt-uncertainty > p.volts("on-battery/highest")
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
	if !amounts(ohm, uncertaintyOhm, firstOhm) || firstOhm == 0 {
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
