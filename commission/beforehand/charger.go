package beforehand

import (
	"fmt"
	"math"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// charger finds one that does not fit the battery: the charger as declared, or else the
// adapter, of which only what it would do to the cells is told.
func (f *finder) charger() {
	s := &f.Site.Supply
	switch {
	case !s.HasBattery() || s.Battery.Form == site.Inline:
	case s.Charger.Voltage.Given():
		f.chargedBy(s.Charger.Voltage, at("supply", "charger", "voltage"))
	case s.Adapter.Voltage.Given() && !s.Adapter.Apparent.Given() && s.Battery.Form == site.Direct:
		f.fedBy(s.Adapter.Voltage, at("supply", "adapter", "voltage"))
	}
}

func (f *finder) pack() checks.Pack {
	b := f.Site.Supply.Battery
	return checks.Pack{Chemistry: checks.Chemistry(b.Chemistry), Cells: b.Cells}
}

func (f *finder) judged(p checks.Pack, volt checks.Quantity) (checks.Charging, bool) {
	celsius := math.NaN()
	if t := f.Site.Supply.Temperature; t.Given() {
		celsius = t.SI
	}
	c, err := p.JudgeCharger(volt.SI, celsius)
	return c, err == nil // what cannot be judged is no remark
}

// unlessCells adds to what is to be done that a number of cells nobody declared may be wrong.
func (f *finder) unlessCells(do string, volt checks.Quantity) string {
	for _, other := range f.pack().Otherwise() {
		c, ok := f.judged(other, volt)
		if ok && (c.Verdict == checks.ChargeHolds || c.Verdict == checks.ChargeUndecided) {
			return fmt.Sprintf("if it has %d cells, write them as supply: battery: cells; else %s", other.Cells, do)
		}
	}
	return do
}

// notBy is what ends every caution on a charger.
const notBy = "do not connect it; whether battery and charger fit is for their makers to say"

func (f *finder) chargedBy(volt checks.Quantity, path []string) {
	c, ok := f.judged(f.pack(), volt)
	if !ok {
		return
	}
	what := fmt.Sprintf("%s is %.2f V a cell of this %s battery: %s", volt.Text, c.PerCell,
		f.Site.Supply.Battery.Chemistry, whyNot[c.Reason])
	switch c.Verdict {
	case checks.ChargeDanger:
		f.inSite(Danger, path, f.unlessCells(notBy, volt), "%s", what)
	case checks.ChargeFault:
		do := "correct chemistry, cells, temperature or voltage, or fit what charges it"
		f.inSite(Perhaps, path, f.unlessCells(do, volt), "%s", what)
	}
}

// fedBy looks at an adapter where no charger is described: nothing may lie between it and
// the battery. A lead-acid battery has a charging circuit before it as a rule, fed with
// more than it gives; lithium cells must not stand at such a voltage by mistake.
func (f *finder) fedBy(volt checks.Quantity, path []string) {
	c, ok := f.judged(f.pack(), volt)
	if !ok || c.Verdict != checks.ChargeDanger {
		return
	}
	severity, do := Danger, notBy+"; where a charger lies between, write its voltage as supply: charger: voltage"
	if f.Site.Supply.Battery.Chemistry == string(checks.LeadAcid) {
		severity, do = Perhaps, "write the voltage of the charging circuit as supply: charger: voltage"
	}
	f.inSite(severity, path, do, "with nothing between, %s is %.2f V a cell of this %s battery: %s", volt.Text,
		c.PerCell, f.Site.Supply.Battery.Chemistry, whyNot[c.Reason])
}

// whyNot says why a charging voltage is a danger or a fault.
var whyNot = map[checks.ChargeReason]string{
	checks.AboveEveryCharge: "more than any published charge limit, it may catch fire or burst",
	checks.TooCold:          "it must not be charged at the lowest temperature declared, it may catch fire later",
	checks.TooHot:           "it must not be charged at the temperature declared",
	checks.NeverCharged:     "too little to charge it",
	checks.BelowEveryFloat:  "less than any published float voltage, it would never be fully charged",
	checks.NotFull:          "it would never be fully charged",
}
