package judge

import (
	"math"
	"slices"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// measured computes what the readings of a visit allow.
func measured(a *Assessment) []Computed {
	return settleAll(slices.Concat(batteryOf(a), systemCurrentsOf(a), farOf(a), currentsOf(a), levelsOf(a), loopsOf(a)))
}

// currentsOf holds what outputs were measured to draw against what the budget
// was computed with.
func currentsOf(a *Assessment) []Computed {
	var out []Computed
	for _, o := range a.outputs {
		r := o.Outcome.Reading(record.CurrentReading)
		if r == nil || !o.Output.Current.Given() {
			continue
		}
		c := Computed{Step: o.Outcome.Step().ID, Ruling: checks.Pass,
			Row: CurrentRow{Output: o.Output.Name, Declared: o.Output.Current.Text, Measured: r.AsTyped}}
		if r.Value > o.Output.Current.SI {
			c.Ruling = checks.Undecided
		}
		out = append(out, c)
	}
	return out
}

// levelsOf brings each measured sound level to one metre, so that it can be held
// against a data sheet, and adds sounders that were measured.
func levelsOf(a *Assessment) []Computed {
	var out []Computed
	var atOne []float64
	for _, o := range a.outputs {
		r := o.Outcome.Reading(record.LevelReading)
		if r == nil || o.Output.Kind != site.Sounder {
			continue
		}
		row := LevelRow{Output: o.Output.Name, Measured: r.AsTyped, Class: r.MeterClass}
		c := Computed{Step: o.Outcome.Step().ID}
		level, err := checks.LevelAt(r.Value, r.Distance, 1)
		if err != nil {
			c.Missing = refused(err)
		} else {
			row.AtOne = level
			atOne = append(atOne, level)
		}
		if r.Ambient != 0 {
			margin := checks.MarginOverAmbient(r.Value, r.Ambient)
			row.Margin = &margin
		}
		row.Tolerance, _ = checks.MeterClass(r.MeterClass).Tolerance() // none for an unknown class
		c.Row = row
		out = append(out, c)
	}
	if len(atOne) > 1 {
		if together, err := checks.AddLevels(atOne...); err == nil {
			out = append(out, Computed{Row: TogetherRow{len(atOne), together}})
		}
	}
	return out
}

// cableAllowance in Ω is how much a loop's cable and joints may add to a reading:
// common practice, no source.
const cableAllowance = 50.0

// loopsOf says what each loop reading that was taken at rest means.
func loopsOf(a *Assessment) []Computed {
	var out []Computed
	for _, d := range a.detectors {
		r := d.Outcome.Reading(record.LoopReading)
		if r == nil {
			continue
		}
		row := LoopRow{Detector: d.Name, Measured: r.AsTyped, Wiring: programme.HintOf(d.Zone)}
		c := Computed{Step: d.Outcome.Step().ID, Row: row}
		fit, err := circuitOf(d.Zone).Classify(loopOhm(r), cableAllowance)
		if err != nil {
			c.Missing = refused(err)
			out = append(out, c)
			continue
		}
		for _, w := range fit {
			if !slices.Contains(row.States, w.State) {
				row.States = append(row.States, w.State)
			}
		}
		c.Row, c.Ruling = row, checks.Pass
		if !slices.Contains(row.States, checks.LoopNormal) {
			c.Ruling = checks.Fail
		}
		out = append(out, c)
	}
	return out
}

func loopOhm(r *record.Taken) float64 {
	if r.Open {
		return math.Inf(1)
	}
	return r.Value
}

// reading is the line of a step, if it was taken.
func (a *Assessment) reading(step string) (ReadingLine, bool) {
	for _, l := range a.readings {
		if l.Outcome.Step().ID == step && l.Taken {
			return l, true
		}
	}
	return ReadingLine{}, false
}

// alarmOutputs are the names of all that an alarm energises.
func alarmOutputs(s *site.Site) string {
	var names []string
	for _, o := range s.AlarmOutputs() {
		names = append(names, o.Name)
	}
	return strings.Join(names, ", ")
}
