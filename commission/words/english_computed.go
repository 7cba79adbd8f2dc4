package words

import (
	"fmt"
	"math"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

// Computed is a computed row in English.
func (l English) Computed(c judge.Computed) Row {
	row := Row{About: l.aboutRow(c.Row), Formula: l.formula(c.Row)}
	if len(c.Missing) > 0 && c.Ruling == "" {
		row.Missing = l.missing(c.Missing)
		return row
	}
	switch r := c.Row.(type) {
	case judge.AdapterRow:
		l.adapter(&row, r)
	case judge.StandbyRow:
		l.standby(&row, r, c.Ruling)
	case judge.DropRow:
		l.drop(&row, r, c.Ruling)
	case judge.LoopRow:
		l.loop(&row, r, c.Ruling)
	case judge.FloatRow:
		l.float(&row, r)
	case judge.InternalRow:
		l.internal(&row, r)
	case judge.SagRow:
		l.sag(&row, r)
	case judge.AgeRow:
		l.age(&row, r, c.Ruling)
	default:
		l.ofOutputs(&row, c)
	}
	if len(c.Missing) > 0 {
		row.Change = l.toDecide(c.Missing)
	}
	return row
}

func (l English) aboutRow(r judge.Row) string {
	if text := aboutOutput(r); text != "" {
		return text
	}
	switch r := r.(type) {
	case judge.AdapterRow:
		return "Adapter"
	case judge.StandbyRow:
		return "Standby battery"
	case judge.DropRow:
		return "Voltage at " + briefly(r.Detector)
	case judge.LoopRow:
		return fmt.Sprintf("Loop of zone %d, read at %s", r.Detector.Zone.Number, r.Detector.Point)
	case judge.FloatRow:
		return "Float voltage"
	case judge.InternalRow:
		return "Internal resistance of the supply on standby"
	case judge.SagRow:
		return "Sag on standby"
	case judge.AgeRow:
		return "Age of the battery"
	}
	panic("the English catalogue has no name for the computed row " + r.Code())
}

func (l English) formula(r judge.Row) string {
	if text := outputFormula(r); text != "" {
		return text
	}
	switch r := r.(type) {
	case judge.AdapterRow:
		return "headroom = rating − larger of (standby + recharge) and alarm load; recharge = C/10 per hour, common practice"
	case judge.StandbyRow:
		return "C = Σ I·t × ageing × temperature, and by Peukert's law at its rate; the larger counts"
	case judge.DropRow:
		return dropFormula(r)
	case judge.LoopRow:
		return loopFormula(r)
	case judge.FloatRow:
		return "range of the chemistry at 25 °C; lead-acid − 18 mV/K for six cells"
	case judge.InternalRow:
		return "R = (U1 − U2)/(I2 − I1), with leads and fuse in it"
	case judge.SagRow:
		slope := "the steepest slope of Sen's 95 % interval"
		if r.Readings < 5 {
			slope = "the steepest slope between two readings (too few for Sen's interval)"
		}
		return "Theil–Sen slope; last reading less its uncertainty, carried on along " + slope +
			", at most ten times as long as was observed; a battery that is nearly empty falls faster than a line, so this " +
			"does not replace a discharge test"
	}
	return "date of the visit − date fitted"
}

// englishLacks are what the site file, or the visit, does not give.
var englishLacks = map[judge.LackCode]string{
	judge.LackRating:        "rating of the adapter",
	judge.LackCapacity:      "capacity of the battery",
	judge.LackStandbyFor:    "required standby",
	judge.LackAlarmFor:      "alarm time after it (alarm_for)",
	judge.LackCurrent:       "current of",
	judge.LackMinimum:       "minimum voltage",
	judge.LackLength:        "cable length",
	judge.LackConductor:     "conductor",
	judge.LackFitted:        "date the battery was fitted",
	judge.LackBattery:       "no standby battery is fitted",
	judge.LackMainsVoltage:  "the supply was not measured with mains present",
	judge.LackLoadVoltages:  "no voltages on standby with and without the sounder",
	judge.LackSounderAmpere: "the sounder's current is not known",
	judge.LackThreeVoltages: "fewer than three voltages on standby",
	judge.LackLongerHold:    "voltages over so short a time tell no slope; hold for five minutes or more",

	judge.LackLevel:          "the level was not measured",
	judge.LackAmbient:        "the ambient level was not measured beside it",
	judge.LackCutOff:         "the cut-off was not observed",
	judge.LackDeclaredLevel:  "the level that the sounder's maker declares, with its distance (level, level_at)",
	judge.LackDeclaredCutOff: "after what time it stops by itself (cut_off)",
	judge.LackZoneCable:      "length and conductor of the zone's cable (cable)",
	judge.LackOutput:         "output voltage of the pack or converter",
}

func (l English) lack(k judge.Lack) string {
	switch k.What {
	case judge.LackSense:
		return k.Said
	case judge.LackCurrent:
		var parts []string
		for _, part := range k.Of {
			if part == "" {
				part = "controller"
			}
			parts = append(parts, part)
		}
		return englishLacks[k.What] + " " + strings.Join(parts, " and ")
	}
	return englishLacks[k.What]
}

// missing says why a row could not be computed.
func (l English) missing(lacks []judge.Lack) string {
	var texts []string
	for _, k := range lacks {
		texts = append(texts, l.Say(k))
	}
	text := strings.Join(texts, ", ")
	switch {
	case lacks[0].What == judge.LackBattery:
		return text
	case lacks[0].FromVisit():
		return "not computed: " + text
	}
	return "not computed, the site file does not give: " + text
}

// toDecide says what would decide a row that is not decided.
func (l English) toDecide(lacks []judge.Lack) string {
	var texts []string
	for _, k := range lacks {
		texts = append(texts, l.Say(k))
	}
	return "to decide it, the site file has to give: " + strings.Join(texts, ", ")
}

func milli(ampere float64) string {
	return English{}.Number(ampere*1000, 0) + " mA"
}

func orDash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}

// plusMinus prints an expanded uncertainty; zero stands for not stated.
func plusMinus(u float64, unit string) string {
	if u == 0 {
		return "(uncertainty not stated)"
	}
	return fmt.Sprintf("± %.2f %s", u, unit)
}

// assumed is a value, marked where the site file does not give it.
func assumed(a judge.Assumable, unit string) string {
	text := English{}.Number(a.Value, AsNeeded) + unit
	if a.Assumed {
		text += " assumed"
	}
	return text
}

func (l English) adapter(row *Row, r judge.AdapterRow) {
	row.Inputs = fmt.Sprintf("standby %s, alarm %s, recharge %s, adapter %s", milli(r.Standby), milli(r.Alarm),
		milli(r.Recharge), r.Rating)
	row.Result, row.Limit = milli(r.Headroom)+" of headroom", "not below 0"
	if r.Need > 0 {
		row.Change = fmt.Sprintf("fit an adapter of at least %.1f A", r.Need)
	}
}

func (l English) standby(row *Row, r judge.StandbyRow, v checks.Ruling) {
	row.Inputs = fmt.Sprintf("%s for %s, then %s for %s; ageing %s, temperature %g (%s), exponent %s, rate %s",
		milli(r.Standby), r.For, milli(r.Alarm), orDash(r.AlarmFor), assumed(r.Ageing, ""), math.Round(r.Cold*1000)/1000,
		assumed(r.Temperature, " °C"), assumed(r.Exponent, ""), assumed(r.Rate, " h"))
	if t := r.Through; t != nil {
		row.Inputs += fmt.Sprintf("; pack of %g V through a converter to %g V, efficiency %g", t.Pack, t.Load, t.Efficiency)
	}
	if r.Autonomy != nil {
		row.Inputs += fmt.Sprintf("; new and full it carries the standby load for %.1f h", *r.Autonomy)
	}
	row.Result = fmt.Sprintf("%.2f Ah required, %s fitted", r.Required, r.Fitted)
	row.Limit = "the capacity fitted"
	if r.Source != "" {
		row.Limit += "; duration by: " + r.Source
	}
	more := math.Ceil(r.Required*10) / 10
	switch v {
	case checks.Undecided:
		row.Change = fmt.Sprintf("by what is declared alone %.2f Ah suffice; declare ageing and temperature, or fit at "+
			"least %.1f Ah", r.Declared, more)
	case checks.Fail:
		row.Change = fmt.Sprintf("fit a battery of at least %.1f Ah, or draw less", more)
	}
}

var englishPlausible = map[checks.Ruling]string{
	checks.Pass: "plausible", checks.Undecided: "perhaps plausible", checks.Fail: "not plausible for this chemistry",
}

func (l English) float(row *Row, r judge.FloatRow) {
	row.Inputs = fmt.Sprintf("%.2f V %s, %s, %s °C", r.Volt, plusMinus(r.Uncertainty, "V"), r.Chemistry,
		l.Number(r.Celsius, AsNeeded))
	row.Result = englishPlausible[r.Plausible]
	row.Limit = fmt.Sprintf("%.2f V to %.2f V, handbook values; the battery's own sheet decides", r.Lower, r.Upper)
	if r.Plausible == checks.Fail {
		row.Change = "measure at the battery itself, and compare with its data sheet"
	}
}

func (l English) internal(row *Row, r judge.InternalRow) {
	from := "site file"
	if r.Measured {
		from = "measured"
	}
	row.Inputs = fmt.Sprintf("%.2f V, then %.2f V with %s more (%s)", r.Rest, r.Load, milli(r.More), from)
	row.Result = fmt.Sprintf("%.2f Ω %s", r.Ohm, plusMinus(r.Uncertainty, "Ω"))
	if r.Ohm <= r.Uncertainty && r.Uncertainty > 0 {
		row.Result += ", not told from zero with this voltmeter"
	}
}

func (l English) sag(row *Row, r judge.SagRow) {
	row.Inputs = fmt.Sprintf("%d voltages over %s, cut-off %s V, the limit under alarm load (%s)", r.Readings,
		l.Duration(r.Over.Round(time.Second)), checks.FormatNumber(r.CutOff.SI), l.Say(r.CutOff))
	row.Result = fmt.Sprintf("%s V an hour; at least %s to the cut-off", l.Number(r.Slope, 2), l.Duration(r.Left))
	if r.Limited {
		row.Result += ", which is as far as these readings reach"
	}
}

func (l English) age(row *Row, r judge.AgeRow, v checks.Ruling) {
	years := func(d time.Duration) string { return fmt.Sprintf("%.1f years", d.Hours()/8766) }
	row.Inputs, row.Result = "fitted "+r.Fitted, years(max(0, r.Age))
	row.Limit = "renewed after " + years(r.Life) + ", common practice"
	switch {
	case r.BeforeFitted():
		row.Result, row.Change = "fitted after this visit", "correct the date in the site file"
	case v == checks.Undecided:
		row.Change = "renew it, or prove it by a discharge test"
	}
}
