package words

import (
	"fmt"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/judge"
)

// Computed is a computed row in English.
func (l English) Computed(c judge.Computed) Row {
	if c.Defaulted { // it holds, but for what is ours: nothing else is to be changed
		c.Ruling = checks.Pass
	}
	row := Row{About: l.aboutRow(c.Row), Formula: l.formula(c.Row)}
	if len(c.Missing) > 0 && c.Ruling == "" {
		row.Missing = l.missing(c.Missing)
		return row
	}
	if l.ofCableRow(&row, c) {
		if len(c.Missing) > 0 {
			row.Change = strings.TrimPrefix(row.Change+"; to decide it: "+l.lacking(c.Missing), "; ")
		}
		return assuming(row, c.Assumed)
	}
	if l.ofSupplyRow(&row, c) {
		if c.Hollow {
			row.Change = "it says nothing while the battery is not sound and charged"
		}
		if len(c.Missing) > 0 {
			row.Change = "to decide it: " + l.lacking(c.Missing)
		}
		return assuming(row, c.Assumed)
	}
	switch r := c.Row.(type) {
	case judge.DropRow:
		l.drop(&row, r, c.Ruling)
	case judge.LoopRow:
		l.loop(&row, r, c.Ruling)
	default:
		l.ofOutputs(&row, c)
	}
	if len(c.Missing) > 0 {
		row.Change = "to decide it: " + l.lacking(c.Missing)
	}
	return assuming(row, c.Assumed)
}

// assuming says which keys of the site file were not given.
func assuming(r Row, keys []string) Row {
	if len(keys) > 0 {
		r.Change = strings.TrimPrefix(r.Change+"; write in the site file: "+plainKeys(keys)+"; a usual value counted", "; ")
	}
	return r
}

func (l English) aboutRow(r judge.Row) string {
	if name := l.aboutCable(r); name != "" {
		return name
	}
	if name := aboutOutput(r); name != "" {
		return name
	}
	if name, ofSupply := aboutSupply(r); ofSupply {
		return name
	}
	switch r := r.(type) {
	case judge.DropRow:
		return "Voltage at " + briefly(r.Detector)
	case judge.LoopRow:
		return fmt.Sprintf("Loop of zone %d, read at %s", r.Detector.Zone.Number, r.Detector.Point)
	}
	panic("the English catalogue has no name for the computed row " + r.Code())
}

func (l English) formula(r judge.Row) string {
	if text := l.cableFormula(r); text != "" {
		return text
	}
	if text := outputFormula(r); text != "" {
		return text
	}
	switch r := r.(type) {
	case judge.DropRow:
		return dropFormula(r)
	case judge.LoopRow:
		return l.loopFormula(r)
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
	judge.LackAlarmFor:        "alarm time after it",
	judge.LackCurrent:         "current of",
	judge.LackChargerVoltage:  "charging voltage",
	judge.LackChargerCurrent:  "current of the charger",
	judge.LackRecharge:        "time within which it must be recharged",
	judge.LackDetectorOutput:  "the most that the controller's output for detectors gives",
	judge.LackAlarmOutput:     "the most that the controller's outputs for sounders give",
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
	judge.LackLoad:            "an output that belongs to it was not shown to work",
	judge.LackFarVoltage:      "it was not measured",
	judge.LackLevel:           "the level was not measured",
	judge.LackAmbient:         "the ambient level was not measured beside it",
	judge.LackCutOff:          "the cut-off was not observed",
	judge.LackDeclaredLevel:   "the level that the sounder's maker declares, with its distance",
	judge.LackDeclaredCutOff:  "after what time it stops by itself",
	judge.LackZoneCable:       "length and conductor of the zone's cable",
	judge.LackResistors:       "the resistors of the circuit",
	judge.LackEndOfLine:       "the resistor at the end of the zone",
	judge.LackOutput:          "output voltage of the pack or converter",
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
