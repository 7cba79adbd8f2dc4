package judge

import (
	"fmt"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// firstResistance is a battery's first resistance by two loads: as the site file has it, or
// as the first earlier visit measured it. A value that was measured is known as well as it
// was: Uncertainty is expanded (k = 2), in Ω.
type firstResistance struct {
	Ohm, Uncertainty float64
	Text, At         string // as it is printed, and the number of the visit
}

// firstOf is the first resistance of the battery that is fitted, false where nobody knows it.
// What was measured of another battery, or in practice where this visit is none, is none.
func (a *Assessment) firstOf() (firstResistance, bool) {
	battery := a.record.Site().Supply.Battery
	if battery.Resistance.Given() {
		return firstResistance{Ohm: battery.Resistance.SI, Text: battery.Resistance.Text}, true
	}
	for _, e := range a.record.Opened().Earlier {
		if battery.Fitted == "" || e.Battery != battery.Fitted || e.Simulated != a.record.Simulated() {
			continue
		}
		for _, r := range e.Readings {
			if r.Quantity == record.InternalThen && r.Value > r.Uncertainty {
				return firstResistance{r.Value, r.Uncertainty, fmt.Sprintf("%.2f Ω", r.Value), e.Number}, true
			}
		}
	}
	return firstResistance{}, false
}

// beyond tells that a resistance in Ω is above its usual limit whatever it and the first really are.
func (f firstResistance) beyond(ohm, uncertainty float64) bool {
	d, err := checks.Decide(ohm, uncertainty, checks.AtMost(checks.Usual("resistance/holds")*(f.Ohm+f.Uncertainty)))
	return err == nil && d.Ruling == checks.Fail
}

// rules holds a resistance in Ω against the first: it passes, or fails, where it does so
// whatever the first really was within its uncertainty. Errors wrap checks.ErrQuantity.
func (f firstResistance) rules(ohm, uncertainty float64) (checks.Ruling, error) {
	least, err := checks.JudgeResistance(ohm, uncertainty, f.Ohm-f.Uncertainty)
	if err != nil || least == checks.Pass {
		return least, err
	}
	most, err := checks.JudgeResistance(ohm, uncertainty, f.Ohm+f.Uncertainty)
	if err != nil || most == checks.Fail {
		return most, err
	}
	return checks.Undecided, nil
}
