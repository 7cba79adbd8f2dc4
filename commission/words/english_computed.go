package words

import (
	"fmt"
	"math"
	"strings"

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
	if l.ofSupplyRow(&row, c) {
		return row.assuming(c.Assumed)
	}
	switch r := c.Row.(type) {
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
	}
	return row.assuming(c.Assumed)
}

// assuming says which keys of the site file were not given.
func (r Row) assuming(keys []string) Row {
	if len(keys) > 0 {
		r.Change = strings.TrimPrefix(r.Change+"; declare "+strings.Join(keys, ", ")+": a usual value counted", "; ")
	}
	return r
}

func (l English) aboutRow(r judge.Row) string {
	if name, ofSupply := aboutSupply(r); ofSupply {
		return name
	}
	switch r := r.(type) {
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
	}
	panic("the English catalogue has no name for the computed row " + r.Code())
}

func (l English) formula(r judge.Row) string {
	switch r.(type) {
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
	}
	return supplyFormula(r)
}

// englishLacks are what the site file, or the visit, does not give.
var englishLacks = map[judge.LackCode]string{
	judge.LackRating:          "rating of the adapter",
	judge.LackAdapterVoltage:  "voltage of the adapter",
	judge.LackCapacity:        "capacity of the battery",
	judge.LackEnergy:          "energy or capacity of the pack",
	judge.LackStandbyFor:      "required standby",
	judge.LackAlarmFor:        "alarm time after it (alarm_for)",
	judge.LackCurrent:         "current of",
	judge.LackChargerVoltage:  "charging voltage",
	judge.LackChargerCurrent:  "current of the charger",
	judge.LackRecharge:        "time within which it must be recharged",
	judge.LackDetectorOutput:  "the most that the controller's output for detectors gives (detector_output)",
	judge.LackAlarmOutput:     "the most that the controller's outputs for sounders give (alarm_output)",
	judge.LackMinimum:         "minimum voltage",
	judge.LackLength:          "cable length",
	judge.LackConductor:       "conductor",
	judge.LackFitted:          "date the battery was fitted",
	judge.LackFirstResistance: "the battery's first resistance, as its hand-over has it",
	judge.LackMainsVoltage:    "the supply was not measured with mains present",
	judge.LackChargingVoltage: "it was not read again while charging",
	judge.LackStandbyVoltage:  "no voltage was read without mains",
	judge.LackLoadVoltages:    "no voltages on standby with and without what sounds",
	judge.LackSounderAmpere:   "the current of what sounds is not known",
	judge.LackSystemCurrent:   "it was not measured",
	judge.LackFarVoltage:      "it was not measured",
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
func (l English) missing(lacks []judge.Lack) string { return "not computed: " + l.lacking(lacks) }

// lacking says what is missing, and where.
func (l English) lacking(lacks []judge.Lack) string {
	var file, visit []string
	for _, k := range lacks {
		if k.FromVisit() {
			visit = append(visit, l.Say(k))
		} else {
			file = append(file, l.Say(k))
		}
	}
	if len(file) > 0 {
		visit = append([]string{"the site file does not give " + strings.Join(file, ", ")}, visit...)
	}
	return strings.Join(visit, "; ")
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
