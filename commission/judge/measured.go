package judge

import (
	"cmp"
	"math"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// measured computes what the readings of a visit allow: the battery's internal
// resistance and sag, the float voltage, the battery's age.
func measured(a *Assessment) []Computed {
	var out []Computed
	if a.record.Site().Supply.Battery.Chemistry != "none" && a.record.Find(programme.IDMainsPresent) != nil {
		out = append(out, floatOf(a), internalOf(a), sagOf(a), ageOf(a.record))
	}
	return slices.Concat(out, currentsOf(a), levelsOf(a), loopsOf(a))
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

func floatOf(a *Assessment) Computed {
	s := a.record.Site()
	c := Computed{Row: FloatRow{}, Step: programme.IDMainsPresent}
	l, taken := a.reading(programme.IDMainsPresent)
	if !taken {
		c.Missing = lack(LackMainsVoltage)
		return c
	}
	in, err := checks.Chemistry(s.Supply.Battery.Chemistry).FloatRange(celsiusOf(s))
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	d, _ := checks.Decide(l.Reading.Value, l.Uncertainty, in) // as it took the reading before
	// A supply terminal is not always the battery's: a hint, no verdict.
	c.Row = FloatRow{Volt: l.Reading.Value, Uncertainty: l.Uncertainty, Chemistry: s.Supply.Battery.Chemistry,
		Celsius: celsiusOf(s), Lower: in.Lower, Upper: in.Upper, Plausible: d.Ruling}
	return c
}

func internalOf(a *Assessment) Computed {
	c := Computed{Row: InternalRow{}, Step: programme.IDAlarmLoad}
	load, loaded := a.reading(programme.IDAlarmLoad)
	rest, rested := a.lastStandby()
	if !loaded || !rested {
		c.Missing = lack(LackLoadVoltages)
		return c
	}
	ampere, measured := soundingCurrent(a.record, load.Outcome.Step().Output)
	if ampere == 0 {
		c.Missing = lack(LackSounderAmpere)
		return c
	}
	worse := math.Max(rest.Uncertainty, load.Uncertainty)
	ohm, u, _ := checks.InternalResistance(rest.Reading.Value, 0, load.Reading.Value, ampere, worse) // two loads
	c.Row = InternalRow{Rest: rest.Reading.Value, Load: load.Reading.Value, More: ampere, Measured: measured,
		Ohm: ohm, Uncertainty: u}
	return c
}

// soundingCurrent is that of a sounder in A, as measured or as the site file says.
func soundingCurrent(r *record.Record, output string) (ampere float64, measured bool) {
	for _, s := range r.Outcomes() {
		if m := s.Reading(record.CurrentReading); m != nil && s.Step().Output == output {
			return m.Value, true
		}
	}
	return r.Site().Output(output).Current.SI, false
}

// standbyReadings are the voltages without the sounder while mains was removed.
func (a *Assessment) standbyReadings() []ReadingLine {
	var out []ReadingLine
	for _, l := range a.readings {
		if l.Taken && l.Reading.WhileOff && !l.Outcome.Step().Load {
			out = append(out, l)
		}
	}
	// Mains may have been removed more than once: one discharge only.
	if n := len(out); n > 0 {
		last := out[n-1].Reading.OffAt
		out = slices.DeleteFunc(out, func(l ReadingLine) bool { return !l.Reading.OffAt.Equal(last) })
	}
	return out
}

func (a *Assessment) lastStandby() (ReadingLine, bool) {
	all := a.standbyReadings()
	if len(all) == 0 {
		return ReadingLine{}, false
	}
	return all[len(all)-1], true
}

// shortestSag is the shortest time over which a sag is told from noise: common
// practice, no source.
const shortestSag = 5 * time.Minute

func sagOf(a *Assessment) Computed {
	c := Computed{Row: SagRow{}}
	lines := a.standbyReadings()
	if len(lines) < 3 {
		c.Missing = lack(LackThreeVoltages)
		return c
	}
	slices.SortStableFunc(lines, func(a, b ReadingLine) int { return cmp.Compare(a.Reading.SinceOff, b.Reading.SinceOff) })
	row := SagRow{Readings: len(lines), Over: lines[len(lines)-1].Reading.SinceOff - lines[0].Reading.SinceOff,
		CutOff: a.record.Site().Limits.AlarmLoad}
	if c.Row = row; row.Over < shortestSag {
		c.Missing = lack(LackLongerHold)
		return c
	}
	c.Step = lines[len(lines)-1].Outcome.Step().ID
	var hours, volts []float64
	for _, l := range lines {
		hours = append(hours, l.Reading.SinceOff.Hours())
		volts = append(volts, l.Reading.Value)
	}
	slope, _ := checks.TheilSen(hours, volts, 0.95) // TimeToCutOff refuses what it refuses
	left, limited, err := checks.TimeToCutOff(hours, volts, row.CutOff.SI, lines[len(lines)-1].Uncertainty)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	row.Slope, row.Left, row.Limited = slope.PerStep, time.Duration(math.Floor(left*60))*time.Minute, limited
	c.Row = row
	return c
}

func ageOf(r *record.Record) Computed {
	b := r.Site().Supply.Battery
	fitted, err := time.Parse(time.DateOnly, b.Fitted)
	if err != nil {
		return Computed{Row: AgeRow{}, Missing: lack(LackFitted)}
	}
	usual, _ := checks.Chemistry(b.Chemistry).ServiceLife()
	row := AgeRow{Fitted: b.Fitted, Age: r.Begun().Sub(fitted), Life: usual}
	c := Computed{Row: row, Ruling: checks.Pass}
	switch {
	case row.BeforeFitted():
		c.Ruling = checks.Fail
	case row.Age > row.Life:
		c.Ruling = checks.Undecided
	}
	return c
}

// BeforeFitted tells that the battery was fitted after the visit, by the file's date.
func (r AgeRow) BeforeFitted() bool { return r.Age < -24*time.Hour }
