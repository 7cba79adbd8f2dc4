package checks

import (
	"fmt"
	"math"
	"slices"
)

// ChargeVerdict is what a charging voltage means for a battery.
type ChargeVerdict string

// The verdicts, the worst first.
const (
	ChargeDanger    ChargeVerdict = "danger"
	ChargeFault     ChargeVerdict = "fault"
	ChargeUndecided ChargeVerdict = "undecided"
	ChargeHolds     ChargeVerdict = "holds"
)

// ChargeReason is why.
type ChargeReason string

// The reasons. A verdict that holds has none, but for lithium iron phosphate,
// which no two sources float alike.
const (
	AboveEveryCharge  ChargeReason = "above every charge limit"
	AboveUsualCharge  ChargeReason = "above the usual charge limit"
	NeverCharged      ChargeReason = "never charged"
	BelowEveryFloat   ChargeReason = "below every float"
	NotFull           ChargeReason = "full charge not reached"
	Boost             ChargeReason = "boost"
	TooCold           ChargeReason = "too cold to charge"
	TooHot            ChargeReason = "too hot to charge"
	FloatDisputed     ChargeReason = "float of lithium-iron-phosphate disputed"
	WithinUncertainty ChargeReason = "within the uncertainty of a limit"
)

// Charging is a charging voltage, judged. Below Widest.Lower a battery that is
// given as charged has a fault, above Widest.Upper it is in danger; Holds lies
// inside every source. Both in V at the terminals, Holds of NaN where nothing
// holds.
type Charging struct {
	PerCell       float64 // V
	Verdict       ChargeVerdict
	Reason        ChargeReason
	Holds, Widest Interval
}

// chargeLimits are those of a pack at a temperature, in V at its terminals.
type chargeLimits struct {
	never              float64 // below: a fault, also of a battery that is being charged; 0 for none
	holds, widest      Interval
	low, high, holding ChargeReason // of a fault below, above what holds, and in it
}

// JudgeCharge judges a voltage in V that was read at a battery while mains is
// present. uncertainty is the expanded one (k = 2) in V: within it of a limit the
// verdict is undecided. celsius is the battery's temperature; NaN stands for not
// declared and is judged at 20 to 25 °C. charged tells that the battery is given
// as fully charged; one that is not may rightly stand low for hours.
//
// Lead-acid: inside the narrowest published float it holds, above every
// published charge voltage it is a danger, given as charged and below the lowest
// published float a fault. Lithium: likewise by its charge limits; below 0 °C
// charging is a danger, above 60 °C a fault. Values and sources: rows
// "…/float/…", "…/charge/…" and "…/compensation/…" of the table.
//
// A voltage below zero, a temperature outside −60 to 100 °C, a pack that makes
// no sense, or what is no number: an error.
func (p Pack) JudgeCharge(volt, uncertainty, celsius float64, charged bool) (Charging, error) {
	n, err := p.InSeries()
	if err != nil {
		return Charging{}, err
	}
	if !amounts(volt, uncertainty) || celsius < -60 || celsius > 100 {
		return Charging{}, fmt.Errorf("%w: a charging voltage of %v ± %v V at %v °C", ErrQuantity, volt, uncertainty,
			celsius)
	}
	limits := p.chargeLimits(celsius)
	c := Charging{PerCell: volt / float64(n), Holds: limits.holds, Widest: limits.widest}
	c.Verdict, c.Reason = limits.judge(volt, uncertainty, charged)
	warmth, why := p.Chemistry.chargeTemperature(celsius)
	if warmth != ChargeHolds || limits.holds.Lower > limits.holds.Upper {
		c.Holds = Interval{math.NaN(), math.NaN()}
	}
	if warmth.worse(c.Verdict) {
		c.Verdict, c.Reason = warmth, why
	}
	return c, nil
}

// JudgeCharger judges the declared voltage of a charger's output in V against a
// battery before anything is measured: as if it stood at that voltage for ever.
// The output must be what charges the battery; an unregulated adapter or one
// that feeds a charging circuit says nothing of it. Temperature and errors as in
// JudgeCharge.
func (p Pack) JudgeCharger(volt, celsius float64) (Charging, error) {
	return p.JudgeCharge(volt, 0, celsius, true)
}

// worse tells whether a verdict is worse than another.
func (v ChargeVerdict) worse(than ChargeVerdict) bool {
	order := []ChargeVerdict{ChargeDanger, ChargeFault, ChargeUndecided, ChargeHolds}
	return slices.Index(order, v) < slices.Index(order, than)
}

// ruled is Decide's ruling; limits that cross give none.
func ruled(value, expanded float64, in Interval) Ruling {
	d, _ := Decide(value, expanded, in)
	return d.Ruling
}

func (l chargeLimits) judge(volt, uncertainty float64, charged bool) (ChargeVerdict, ChargeReason) {
	switch {
	case ruled(volt, uncertainty, AtMost(l.widest.Upper)) == Fail:
		return ChargeDanger, AboveEveryCharge
	case ruled(volt, uncertainty, AtLeast(l.never)) == Fail:
		return ChargeFault, l.low
	case charged && ruled(volt, uncertainty, AtLeast(l.widest.Lower)) == Fail:
		return ChargeFault, l.low
	case ruled(volt, uncertainty, l.holds) == Pass:
		return ChargeHolds, l.holding
	case uncertainty > 0:
		if v, why := l.judge(volt, 0, charged); v == ChargeUndecided {
			return v, why
		}
		return ChargeUndecided, WithinUncertainty
	case volt > l.holds.Upper:
		return ChargeUndecided, l.high
	}
	return ChargeUndecided, NotFull
}

func (p Pack) chargeLimits(celsius float64) chargeLimits {
	if p.Chemistry == LeadAcid {
		return p.leadAcidLimits(celsius)
	}
	l := chargeLimits{low: NeverCharged, high: AboveUsualCharge,
		holds:  Interval{p.volts("charge/holds-low"), p.volts("charge/holds-high")},
		widest: Interval{p.volts("charge/fails-low"), p.volts("charge/highest")}}
	if p.Chemistry == LithiumIronPhosphate {
		l.holding = FloatDisputed
	} else {
		l.never = p.volts("charge/never") // a charger lifts a cell past it in minutes
	}
	return l
}

// leadAcidLimits corrects the limits for the temperature, away from 20 to 25 °C:
// what holds must hold by the least and by the most published compensation, what
// fails must fail by both. The lowest float is that of a battery at 30 °C, since
// a declared temperature is not the battery's own, and does not rise in the cold
// above what is published for a charger without compensation.
func (p Pack) leadAcidLimits(celsius float64) chargeLimits {
	n, _ := p.InSeries() // asked for before
	cells := float64(n)
	least, most := threshold("lead-acid/compensation/least")*cells, threshold("lead-acid/compensation/most")*cells
	reference := threshold("lead-acid/reference/high")
	if math.IsNaN(celsius) {
		celsius = reference
	}
	cold, warm := math.Max(0, threshold("lead-acid/reference/low")-celsius), math.Max(0, celsius-reference)
	assumed := threshold("lead-acid/float/unknown-warmth") - reference
	lowest := math.Min(p.volts("float/lowest")+least*cold, p.volts("float/lowest-cold")+most*assumed)
	return chargeLimits{
		low: BelowEveryFloat, high: Boost,
		holds: Interval{p.volts("float/holds-low") + most*cold - least*warm,
			p.volts("float/holds-high") + least*cold - most*warm},
		widest: Interval{lowest - most*math.Max(assumed, warm), p.volts("charge/highest") + most*cold - least*warm},
	}
}

// chargeTemperature is what a temperature alone says of charging.
func (c Chemistry) chargeTemperature(celsius float64) (ChargeVerdict, ChargeReason) {
	switch {
	case c == LeadAcid: // its limits say it: outside −5 to 50 °C nothing holds by all sources
	case celsius < threshold("lithium/charge/coldest"):
		return ChargeDanger, TooCold
	case celsius > threshold("lithium/charge/hottest"):
		return ChargeFault, TooHot
	case celsius > threshold("lithium/charge/holds-hottest"):
		return ChargeUndecided, TooHot
	}
	return ChargeHolds, ""
}
