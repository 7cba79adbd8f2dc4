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

func (f *finder) judged(volt checks.Quantity) (checks.Charging, bool) {
	s := &f.Site.Supply
	celsius := math.NaN()
	if s.Temperature.Given() {
		celsius = s.Temperature.SI
	}
	c, err := checks.Pack{Chemistry: checks.Chemistry(s.Battery.Chemistry), Cells: s.Battery.Cells}.
		JudgeCharger(volt.SI, celsius)
	return c, err == nil // what cannot be judged is no remark
}

// notBy is what ends every caution on a charger.
const notBy = "do not connect it; whether battery and charger fit is for their makers to say"

func (f *finder) chargedBy(volt checks.Quantity, path []string) {
	c, ok := f.judged(volt)
	if !ok {
		return
	}
	what := fmt.Sprintf("%s is %.2f V a cell of this %s battery: %s", volt.Text, c.PerCell,
		f.Site.Supply.Battery.Chemistry, whyNot[c.Reason])
	switch c.Verdict {
	case checks.ChargeDanger:
		f.inSite(Danger, path, notBy, "%s", what)
	case checks.ChargeFault:
		f.inSite(Perhaps, path, "correct chemistry, cells, temperature or voltage, or fit what charges it", "%s", what)
	}
}

// fedBy looks at an adapter where no charger is described: nothing may lie between it and
// the battery. A lead-acid battery has a charging circuit before it as a rule, fed with
// more than it gives; lithium cells must not stand at such a voltage by mistake.
func (f *finder) fedBy(volt checks.Quantity, path []string) {
	c, ok := f.judged(volt)
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
