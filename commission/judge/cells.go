package judge

import (
	"math"
	"slices"

	"loopwitness/checks"
)

// cellsKey is the number of cells in series, which is assumed where nobody declares it.
const cellsKey = "supply.battery.cells"

// unlessCells lets what fails only by the usual number of cells be undecided: nothing that is
// assumed fails a page. A danger stays one until the number is declared.
func (c *Computed) unlessCells(p checks.Pack, fails func(checks.Pack) bool) {
	if c.Ruling == checks.Fail && slices.ContainsFunc(p.Otherwise(), func(o checks.Pack) bool { return !fails(o) }) {
		c.Ruling = checks.Undecided
		c.assume(cellsKey, false)
	}
}

// failsCharged tells whether a voltage while mains is present fails a pack.
func failsCharged(p checks.Pack, volt, uncertainty, celsius float64, charged bool) bool {
	j, err := p.JudgeCharge(volt, uncertainty, celsius, charged)
	ruling, _ := rulingOf(j.Verdict)
	return err != nil || ruling == checks.Fail
}

// failsOnBattery tells whether a voltage on battery fails a pack, be it that no pack of so
// few cells stands so high.
func failsOnBattery(p checks.Pack, volt, uncertainty, minutes, ampere, ampereHour float64) bool {
	ruling, err := p.JudgeOnBattery(volt, uncertainty, minutes, ampere, ampereHour)
	return err != nil || ruling == checks.Fail || failsCharged(p, volt, uncertainty, math.NaN(), false)
}
