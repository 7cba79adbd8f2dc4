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
	if len(c.Missing) > 0 {
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
	case judge.CurrentRow:
		l.current(&row, r, c.Ruling)
	case judge.LevelRow:
		l.level(&row, r)
	case judge.TogetherRow:
		row.Inputs = fmt.Sprintf("%d sounders", r.Sounders)
		row.Result = fmt.Sprintf("%.1f dB at 1 m of each", r.AtOne)
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
	}
	return row
}

func (l English) aboutRow(r judge.Row) string {
	switch r := r.(type) {
	case judge.AdapterRow:
		return "Adapter"
	case judge.StandbyRow:
		return "Standby battery"
	case judge.DropRow:
		return "Voltage at " + briefly(r.Detector)
	case judge.CurrentRow:
		return "Current of " + r.Output
	case judge.LevelRow:
		return "Sound level of " + r.Output
	case judge.TogetherRow:
		return "Sounders together"
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
	switch r := r.(type) {
	case judge.AdapterRow:
		return "headroom = rating − larger of (standby + recharge) and alarm load; recharge = C/10 per hour, common practice"
	case judge.StandbyRow:
		return "C = Σ I·t × ageing × temperature, and by Peukert's law at its rate; the larger counts"
	case judge.DropRow:
		return "V = V_supply − 2·L·R′·I, from the lowest supply accepted on standby, on a cable of its own, flexible assumed"
	case judge.CurrentRow:
		return "measured against declared; budget and standby above take the declared one"
	case judge.LevelRow:
		one, _ := checks.MeterClass(1).Tolerance() // both classes are known
		two, _ := checks.MeterClass(2).Tolerance()
		return fmt.Sprintf("L(1 m) = L + 20 lg(d/1 m): point source, free field; rooms and walls raise what is read. "+
			"At 1 kHz a meter of class 2 reads within ± %.1f dB, of class 1 within ± %.1f dB (IEC 61672-1:2002)", two, one)
	case judge.TogetherRow:
		return "10 lg Σ 10^(L/10)"
	case judge.LoopRow:
		return "Kirchhoff, resistors within 5 %, up to 50 Ω of cable and joints"
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

func (l English) drop(row *Row, r judge.DropRow, v checks.Ruling) {
	row.Inputs = fmt.Sprintf("%s V, %s of %s (%s Ω, %s), %s", checks.FormatNumber(r.Supply), r.Length, r.Conductor,
		checks.FormatNumber(math.Round(r.Loop*100)/100), l.Say(r.Rule), r.Current)
	row.Result, row.Limit = fmt.Sprintf("%.2f V", r.Far), "at least "+r.Minimum+", its minimum"
	switch {
	case v != checks.Fail:
	case r.Hopeless:
		row.Change = "no cable helps: the detector needs more than the lowest supply accepted on standby"
	default:
		row.Change = fmt.Sprintf("shorten the run to %.0f m", r.Shorten)
		if r.Thicker != "" {
			row.Change += ", or take " + strings.ReplaceAll(r.Thicker, "mm2", "mm²") // ours, not typed
		}
	}
}

func (l English) current(row *Row, r judge.CurrentRow, v checks.Ruling) {
	row.Inputs, row.Result, row.Limit = "declared "+r.Declared, r.Measured, "not above "+r.Declared+", site file"
	if v != checks.Pass {
		row.Change = "correct the site file, and see whether adapter and battery still suffice"
	}
}

func (l English) level(row *Row, r judge.LevelRow) {
	row.Inputs, row.Result = r.Measured, fmt.Sprintf("%.1f dB at 1 m", r.AtOne)
	if r.Margin != nil {
		row.Result += "; " + l.Number(*r.Margin, 1) + " dB over the ambient level where it was read"
		row.Limit = "what margin is required is the local rule's to say"
	}
	if r.Tolerance > 0 {
		row.Result += fmt.Sprintf(", ± %.1f dB (class %d)", r.Tolerance, r.Class)
	}
}

func (l English) loop(row *Row, r judge.LoopRow, v checks.Ruling) {
	var states []string
	for _, s := range r.States {
		states = append(states, string(s))
	}
	row.Inputs, row.Limit = r.Measured+", "+l.Say(r.Wiring), "at rest: normal"
	row.Result = strings.Join(states, " or ")
	switch {
	case len(states) == 0:
		row.Result = "no state of this circuit explains it"
		row.Change = "look for a wrong resistor, a further one, or a bad joint"
	case v != checks.Pass:
		row.Change = "compare the wiring with the site file; look for a contact that is not at rest"
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
