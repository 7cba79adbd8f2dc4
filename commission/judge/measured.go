package judge

import (
	"cmp"
	"math"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// measured computes what the readings of a visit allow: the battery's internal
// resistance and sag, the float voltage, the battery's age.
func measured(a *Assessment) []Computed {
	var out []Computed
	if a.record.Site().Supply.Battery.Chemistry != "none" && a.record.Find(programme.IDMainsPresent) != nil {
		out = append(out, floatOf(a), internalOf(a), sagOf(a), ageOf(a.record))
	}
	return slices.Concat(out, currentsOf(a), levelsOf(a), cutOffsOf(a), loopsOf(a))
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
	row := AgeRow{Fitted: b.Fitted, Age: r.Begun().Sub(fitted), Life: checks.Chemistry(b.Chemistry).ServiceLife()}
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
