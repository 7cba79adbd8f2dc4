package words

import (
	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// aboutSupply names the rows of the supply.
func aboutSupply(r judge.Row) (string, bool) {
	switch r := r.(type) {
	case judge.AdapterRow:
		return "Adapter", true
	case judge.OutputLimitRow:
		return englishTerminals[r.Which], true
	case judge.ChargerRow:
		return "Charger and battery, as declared", true
	case judge.RechargeRow:
		return "Recharge", true
	case judge.StandbyRow:
		return "Standby battery", true
	case judge.EnergyRow:
		return "Standby pack", true
	case judge.ChargingRow:
		return "Charging of the battery", true
	case judge.InternalRow:
		return "Resistance of the supply on standby", true
	case judge.SagRow:
		return "Trial without mains", true
	case judge.SystemCurrentRow:
		if r.Alarm {
			return "Current of the whole system in alarm", true
		}
		return "Current of the whole system on standby", true
	case judge.FarRow:
		if r.Detector.Name == "" {
			return "Voltage at the farthest detector in alarm", true
		}
		return "Voltage in alarm at " + briefly(r.Detector), true
	case judge.AgeRow:
		return "Age of the battery", true
	}
	return "", false
}

var englishTerminals = map[judge.Terminal]string{
	judge.DetectorOutput: "Supply output for detectors",
	judge.AlarmOutput:    "Outputs for sounders and strobes",
}

// supplyFormula says how a row of the supply is computed.
func supplyFormula(r judge.Row) string {
	switch r.(type) {
	case judge.AdapterRow:
		return "what it gives against the larger of standby + charger and alarm; of alternating current surely 0.55 of " +
			"VA/V, and no more watts than VA"
	case judge.OutputLimitRow:
		return "sum of the currents declared"
	case judge.ChargerRow:
		return "voltage a cell against the charge limits of its chemistry; current against the capacity"
	case judge.RechargeRow:
		return "t = share × C × 1.1 / I: 110 % of what was taken is returned; bulk phase"
	case judge.StandbyRow:
		return "C = Σ I·t × ageing × temperature; above the rated current by Peukert's law, below it never more than C/I"
	case judge.EnergyRow:
		return "E = Σ I·t × V × ageing × temperature / efficiency"
	case judge.ChargingRow:
		return "all voltages with mains present together, at 20 to 25 °C, against published charge voltages a cell"
	case judge.InternalRow:
		return "R = (U1 − U2)/(I2 − I1), with leads and fuse in it"
	case judge.SagRow:
		return "a short trial can show a bad battery; it never shows its capacity"
	case judge.SystemCurrentRow:
		return "measured against the sum of what is declared; what was measured counts above"
	case judge.FarRow:
		return "measured with all that sounds energised and mains removed"
	}
	return "date of the visit − date fitted"
}

// ofSupplyRow says inputs, result and limit of a row of the supply.
func (l English) ofSupplyRow(row *Row, c judge.Computed) bool {
	switch r := c.Row.(type) {
	case judge.AdapterRow:
		l.adapter(row, r, c.Ruling)
	case judge.OutputLimitRow:
		row.Inputs, row.Result, row.Limit = "all currents declared", milli(r.Load), "not above "+r.Most+", site file"
		if c.Ruling == checks.Fail {
			row.Change = "feed some of it from a supply of its own"
		}
	case judge.ChargerRow:
		l.charger(row, r, c)
	case judge.RechargeRow:
		l.recharge(row, r, c.Ruling)
	case judge.StandbyRow:
		l.standby(row, r, c)
	case judge.EnergyRow:
		l.energy(row, r, c)
	case judge.ChargingRow:
		l.charging(row, r, c)
	case judge.InternalRow:
		l.internal(row, r, c.Ruling)
	case judge.SagRow:
		l.sag(row, r, c.Ruling)
	case judge.SystemCurrentRow:
		l.systemCurrent(row, r, c.Ruling)
	case judge.FarRow:
		row.Inputs = "measured " + fmt.Sprintf("%.2f V %s", r.Volt, plusMinus(r.Uncertainty, "V"))
		row.Result, row.Limit = fmt.Sprintf("%.2f V", r.Volt), "at least "+r.Minimum+", its minimum"
	case judge.AgeRow:
		l.age(row, r, c.Ruling)
	default:
		return false
	}
	return true
}

func (l English) adapter(row *Row, r judge.AdapterRow, v checks.Ruling) {
	charger := "charger not declared"
	if r.Charge > 0 {
		charger = "charger " + milli(r.Charge)
	}
	row.Inputs = fmt.Sprintf("standby %s, alarm %s, %s, adapter %s", milli(r.Standby), milli(r.Alarm), charger, r.Rating)
	row.Result, row.Limit = milli(r.Need)+" needed", "not above "+milli(r.Least)
	if r.Most > r.Least {
		row.Limit += " to " + milli(r.Most)
	}
	switch v {
	case checks.Fail:
		row.Change = fmt.Sprintf("fit an adapter of at least %.1f A", math.Ceil(r.Need*10)/10)
	case checks.Undecided:
		if r.Need > r.Least {
			row.Change = "the battery has to help in alarm, or it charges more slowly; see whether that is meant"
		}
	}
}

var englishReasons = map[checks.ChargeReason]string{
	checks.AboveEveryCharge:  "above every published charge limit: a danger of fire or burst",
	checks.AboveUsualCharge:  "above the usual charge limit",
	checks.NeverCharged:      "too low: a battery of these cells is never charged",
	checks.BelowEveryFloat:   "below every published float: not charged",
	checks.NotFull:           "below the usual float: not full, or not charged",
	checks.Boost:             "a boost voltage: right for hours, wrong for weeks",
	checks.TooCold:           "charging below 0 °C destroys the cells",
	checks.TooHot:            "too hot to be charged",
	checks.FloatDisputed:     "as charged; whether it may stand so for years is disputed",
	checks.WithinUncertainty: "too close to a limit to decide",
}

// charge says what a charging voltage means.
func charge(c judge.Charge) string {
	text := fmt.Sprintf("%.2f V a cell", c.PerCell)
	if why := englishReasons[c.Reason]; why != "" {
		text += ", " + why
	}
	return text
}

// chargeWindow says between what a charging voltage holds.
func chargeWindow(c judge.Charge) string {
	if c.Upper == 0 {
		return "no charging voltage holds"
	}
	text := fmt.Sprintf("%.2f V to %.2f V, published", c.Lower, c.Upper)
	if c.Highest > 0 {
		text += fmt.Sprintf("; above %.2f V a danger", c.Highest)
	}
	return text
}

// stopCharging is the first thing to do where a battery may burn.
const stopCharging = "stop charging: disconnect the battery, and fit charger and battery that belong together"

// actNow is what to do about a danger. One by a number of cells that nobody declared may be
// none.
func actNow(c judge.Computed) string {
	if c.Ruling == checks.Undecided {
		return "say how many cells the battery has; unless they are more than usual, " + stopCharging
	}
	return stopCharging
}

func (l English) charger(row *Row, r judge.ChargerRow, c judge.Computed) {
	of := "charger"
	if r.OfAdapter {
		of = "adapter, as no charger is described"
	}
	row.Inputs = fmt.Sprintf("%s V by the %s, %d cells, %s", l.Number(r.Volt, AsNeeded), of, r.Cells, r.Chemistry)
	row.Result, row.Limit = charge(r.Charge), chargeWindow(r.Charge)
	if r.Ampere > 0 && r.MostAmpere > 0 {
		row.Inputs += ", " + milli(r.Ampere)
		row.Limit += "; current up to " + milli(r.MostAmpere)
	}
	switch {
	case c.Danger:
		row.Change = actNow(c)
	case r.RuinAmpere > 0:
		row.Change = "charge with no more than " + milli(r.RuinAmpere) + ", or what its maker allows"
	case c.Ruling == checks.Fail:
		row.Change = "fit a battery that this charger and controller are made for"
	case r.Ampere > r.MostAmpere && r.MostAmpere > 0:
		row.Change = "see what charge current its maker allows"
	}
}

func (l English) recharge(row *Row, r judge.RechargeRow, v checks.Ruling) {
	row.Inputs = fmt.Sprintf("%s to %s %%, charger %s", r.Capacity, assumedPercent(r.To), milli(r.Ampere))
	row.Result, row.Limit = fmt.Sprintf("%.1f h", r.Hours), "within "+r.Within
	if r.Source != "" {
		row.Limit += "; by: " + named(r.Source)
	}
	if v == checks.Fail {
		row.Change = "fit a stronger charger or a smaller battery"
	}
}

func assumedPercent(a judge.Assumable) string {
	return assumed(judge.Assumable{Value: math.Round(a.Value * 100), Assumed: a.Assumed}, "")
}

// tried says that standby is computed, not tried.
// currents says which of them were measured; where none was, all are declared.
func (l English) currents(r judge.Loads) string {
	text := fmt.Sprintf("%s for %s, then %s for %s", milli(r.Standby), r.For, milli(r.Alarm), orDash(r.AlarmFor))
	switch {
	case r.Measured && r.Added:
		return text + " (measured; to that in alarm is added what outputs that were not shown to work are declared " +
			"to draw)"
	case r.Added:
		return text + " (on standby declared; in alarm measured, and added what outputs that were not shown to work " +
			"are declared to draw)"
	case r.Measured && r.AlarmMeasured:
		return text + " (measured)"
	case r.Measured:
		return text + " (on standby measured, in alarm declared)"
	case r.AlarmMeasured:
		return text + " (on standby declared, in alarm measured)"
	}
	return text
}

func (l English) standby(row *Row, r judge.StandbyRow, c judge.Computed) {
	row.Inputs = fmt.Sprintf("%s; ageing %s, temperature %s (factor %g to %g), exponent %s, rate %s",
		l.currents(r.Loads), assumed(r.Ageing, ""),
		assumed(r.Temperature, " °C"), short(r.ColdLeast), short(r.Cold), assumed(r.Exponent, ""), assumed(r.Rate, " h"))
	if r.Autonomy != nil {
		row.Inputs += fmt.Sprintf("; new and full it carries the standby load for %.1f h", *r.Autonomy)
	}
	row.Result = fmt.Sprintf("%.2f Ah required, %s fitted", r.Required, r.Fitted)
	row.Limit = by("the capacity fitted", r.Source)
	switch c.Ruling {
	case checks.Undecided:
		if len(c.Assumed) == 0 {
			row.Change = fmt.Sprintf("%.2f Ah suffice by the most favourable values; fit at least %.1f Ah to be sure",
				r.Declared, math.Ceil(r.Required*10)/10)
		}
	case checks.Fail:
		row.Change = fmt.Sprintf("fit a battery of at least %.1f Ah, or draw less", math.Ceil(r.Required*10)/10)
	}
}

func (l English) energy(row *Row, r judge.EnergyRow, c judge.Computed) {
	row.Inputs = fmt.Sprintf("%s at %s; efficiency %s, ageing %s, temperature %s (factor %g to %g)",
		l.currents(r.Loads), assumed(r.Output, " V"), assumed(r.Efficiency, ""),
		assumed(r.Ageing, ""), assumed(r.Temperature, " °C"), short(r.ColdLeast), short(r.Cold))
	if r.Autonomy != nil {
		row.Inputs += fmt.Sprintf("; new and full it carries the standby load for %.1f h", *r.Autonomy)
	}
	row.Result = fmt.Sprintf("%.1f Wh required, %s Wh fitted", r.Required, l.Number(r.Energy, AsNeeded))
	row.Limit = by("the energy fitted", r.Source)
	if c.Ruling == checks.Fail || c.Ruling == checks.Undecided && len(c.Assumed) == 0 {
		row.Change = fmt.Sprintf("fit a pack of at least %.0f Wh, or draw less", math.Ceil(r.Required))
	}
}

func by(limit, source string) string {
	if source == "" {
		return limit
	}
	return limit + "; the installer declares: " + named(source)
}

func short(x float64) float64 { return math.Round(x*1000) / 1000 }

var englishCharged = map[record.Result]string{
	record.Yes: "on charge without interruption", record.No: "not on charge all the time before",
}

func (l English) charging(row *Row, r judge.ChargingRow, c judge.Computed) {
	var volts []string
	worst := judge.ChargingReading{}
	for _, reading := range r.Readings {
		volts = append(volts, fmt.Sprintf("%.2f V", reading.Volt))
		if worst.Step == "" || graver(reading.Verdict, worst.Verdict) {
			worst = reading
		}
	}
	row.Inputs = fmt.Sprintf("%s, %d cells; %s", r.Chemistry, r.Cells, strings.Join(volts, ", "))
	if how := englishCharged[r.Charged]; how != "" {
		row.Inputs += "; " + how
	}
	switch row.Limit = chargeWindow(worst.Charge); {
	case c.Ruling == checks.Pass, c.Ruling == checks.Undecided && len(c.Assumed) > 0 && !graverThanHolds(worst):
		row.Result = "charges"
		if r.Rose {
			row.Result += ": after mains came back it rose above what a battery has by itself"
		}
	default:
		row.Result = charge(worst.Charge)
	}
	switch {
	case c.Danger:
		row.Change = actNow(c)
	case c.Ruling == checks.Fail:
		row.Change = "see whether the charger works and belongs to this battery"
	case c.Ruling == checks.Undecided && graverThanHolds(worst):
		row.Change = "read it again when the battery has been on charge for a day"
	}
}

func graverThanHolds(r judge.ChargingReading) bool { return r.Verdict != checks.ChargeHolds }

// graver tells whether a verdict on charging is worse than another.
func graver(a, than checks.ChargeVerdict) bool {
	rank := map[checks.ChargeVerdict]int{checks.ChargeDanger: 3, checks.ChargeFault: 2, checks.ChargeUndecided: 1}
	return rank[a] > rank[than]
}

func (l English) internal(row *Row, r judge.InternalRow, v checks.Ruling) {
	from := "site file"
	if r.Measured {
		from = "measured"
	}
	row.Inputs = fmt.Sprintf("%.2f V, then %.2f V with %s more (%s)", r.Rest, r.Load, milli(r.More), from)
	row.Result = fmt.Sprintf("%.2f Ω %s", r.Ohm, plusMinus(r.Uncertainty, "Ω"))
	if r.Ohm <= r.Uncertainty && r.Uncertainty > 0 {
		row.Result += ", not told from zero with this voltmeter"
		row.Limit = "too uncertain to be a first value"
		if r.First == "" {
			return
		}
	}
	if r.First == "" {
		row.Limit = "the first value: write it in the site file"
		return
	}
	row.Limit = "usually up to 1.3 times its first value of " + r.First
	if r.FirstAt != "" {
		row.Limit += " at " + r.FirstAt
	}
	if v == checks.Fail {
		row.Change = "renew the battery, and look at leads, fuse and clips"
	}
}

func (l English) sag(row *Row, r judge.SagRow, v checks.Ruling) {
	tried := l.Duration(r.Tried.Round(time.Second))
	row.Inputs = fmt.Sprintf("%s, %.2f V to %.2f V %s", count(r.Readings, "voltage", "voltages"), r.From, r.To,
		plusMinus(r.Uncertainty, "V"))
	if r.Ampere > 0 {
		row.Inputs += ", " + milli(r.Ampere)
	}
	row.Result = tried + " tried"
	if r.Required != "" {
		row.Result = r.Required + " required, " + row.Result
	}
	switch {
	case r.Converter:
		row.Result += "; the output held"
		row.Limit = "the converter's voltage: nothing of the battery shows in it"
	default:
		row.Limit = "no sign of a bad battery after 10 min or more"
	}
	switch {
	case v == checks.Fail:
		row.Result += ": it falls as no good battery does"
		row.Change = "renew the battery"
	case r.Charging:
		row.Result += ": higher than a battery stands without a charger"
		row.Change = "see whether mains was removed at all, and read it again"
	case r.Short:
		row.Change = "keep mains removed for 10 min or more"
	case v == checks.Undecided:
		row.Change = "prove it by a discharge test, or renew it"
	}
}

func (l English) systemCurrent(row *Row, r judge.SystemCurrentRow, v checks.Ruling) {
	row.Inputs, row.Result = "declared "+milli(r.Declared), milli(r.Measured)
	if !r.Known {
		row.Inputs = "not all parts are declared"
		return
	}
	row.Limit = "not above " + milli(r.Declared) + ", site file"
	if v != checks.Pass {
		row.Change = "correct the site file, or look for what draws more"
	}
}

func (l English) age(row *Row, r judge.AgeRow, v checks.Ruling) {
	years := func(d time.Duration) string { return fmt.Sprintf("%.1f years", d.Hours()/8766) }
	whose := "common practice"
	if r.ByMaker {
		whose = "its maker"
	}
	row.Inputs, row.Result = "fitted "+r.Fitted, years(max(0, r.Age))
	if r.Age < 30*24*time.Hour {
		row.Result = "new"
	}
	row.Limit = "renewed after " + years(r.Life) + ", " + whose
	switch {
	case r.BeforeFitted():
		row.Result, row.Change = "fitted after this visit", "correct the date in the site file"
	case v == checks.Undecided:
		row.Change = "renew it, or prove it by a discharge test"
	}
}
