package checks

import (
	"fmt"
	"math"
)

// RechargeHours is the time in h in which a charger of a current in A returns a
// share (0 to 1) of a capacity to an empty battery: share·C·1.1/(I − I_load).
// 110 % is returned of what was taken; the charger carries the standing load
// beside it. Bulk phase only: up to 80 % it is near the truth, and it holds for
// currents below MaximumChargeCurrent. +Inf for a charger that leaves nothing
// for the battery. What is negative or no number: an error.
func RechargeHours(ampereHour, share, ampere, standingAmpere float64) (float64, error) {
	if !amounts(ampereHour, share, ampere, standingAmpere) || ampereHour == 0 || share > 1 {
		return 0, fmt.Errorf("%w: %v of %v Ah recharged with %v A less %v A", ErrQuantity, share, ampereHour, ampere,
			standingAmpere)
	}
	if ampere <= standingAmpere {
		return math.Inf(1), nil
	}
	return share * ampereHour * threshold("recharge/returned") / (ampere - standingAmpere), nil
}

// MaximumChargeCurrent are currents in A: up to holds no source objects, above
// fails every source does. Lead-acid 0.25 and 0.4 C (0.3 C in most sources, no
// limit on float in one). Lithium 0.2 C, which makers still allow in the cold;
// fails is +Inf, since no limit is common to them. An unknown chemistry: 0, +Inf.
func MaximumChargeCurrent(c Chemistry, ampereHour float64) (holds, fails float64) {
	switch c {
	case LeadAcid:
		return threshold("lead-acid/charge-current/holds") * ampereHour,
			threshold("lead-acid/charge-current/fails") * ampereHour
	case LithiumIon, LithiumIronPhosphate:
		return threshold("lithium/charge-current/holds") * ampereHour, math.Inf(1)
	}
	return 0, math.Inf(1)
}

// RectifiedAmpere is the direct current in A that an adapter of alternating
// current gives behind a bridge and a capacitor, from its rated VA and V: up to
// 0.55 of VA/V it carries, above 0.62 no guide lets it. The second is from
// memory: above it the caller may say undecided, never fail. Both must lie above
// zero.
func RectifiedAmpere(voltAmpere, acVolt float64) (holds, fails float64, err error) {
	rated := voltAmpere / acVolt
	if !amounts(voltAmpere, acVolt, rated) || rated == 0 {
		return 0, 0, fmt.Errorf("%w: an adapter of %v VA at %v V", ErrQuantity, voltAmpere, acVolt)
	}
	return threshold("rectifier/holds") * rated, threshold("rectifier/fails") * rated, nil
}
