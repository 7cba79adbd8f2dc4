package judge

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
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
	if a.Record.Site().Supply.Battery.Chemistry != "none" && a.Record.Find(programme.IDMainsPresent) != nil {
		out = append(out, floatOf(a), internalOf(a), sagOf(a), ageOf(a.Record))
	}
	return slices.Concat(out, currentsOf(a), levelsOf(a), loopsOf(a))
}

// currentsOf holds what outputs were measured to draw against what the budget
// was computed with.
func currentsOf(a *Assessment) []Computed {
	var out []Computed
	for _, o := range a.Outputs {
		r := o.Step.Reading(record.CurrentReading)
		if r == nil || !o.Output.Current.Given() {
			continue
		}
		c := Computed{About: "Current of " + o.Output.Name, Step: o.Step.Step().ID, Formula: "measured against declared; budget and standby above take the declared one",
			Inputs: "declared " + o.Output.Current.Text, Result: r.AsTyped, Limit: "not above " + o.Output.Current.Text + ", site file", Verdict: checks.Pass}
		if r.Value > o.Output.Current.SI {
			c.Verdict, c.Change = checks.Undecided, "correct the site file, and see whether adapter and battery still suffice"
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
	for _, o := range a.Outputs {
		r := o.Step.Reading(record.LevelReading)
		if r == nil || o.Output.Kind != site.Sounder {
			continue
		}
		level, err := checks.LevelAt(r.Value, r.Distance, 1)
		c := Computed{About: "Sound level of " + o.Output.Name, Step: o.Step.Step().ID, Inputs: r.AsTyped,
			Formula: fmt.Sprintf("L(1 m) = L + 20 lg(d/1 m): point source, free field; rooms and walls raise what is read. At 1 kHz a meter of class 2 reads within ± %.1f dB, of class 1 within ± %.1f dB (IEC 61672-1:2002)", meterTolerance(2), meterTolerance(1))}
		if err != nil {
			c.Missing = "not computed: " + err.Error()
		} else {
			c.Result = fmt.Sprintf("%.1f dB at 1 m", level)
			atOne = append(atOne, level)
		}
		if r.Ambient != 0 {
			c.Result += fmt.Sprintf("; %.1f dB over the ambient level where it was read", checks.MarginOverAmbient(r.Value, r.Ambient))
			c.Limit = "what margin is required is the local rule's to say"
		}
		if tolerance, err := checks.MeterClass(r.MeterClass).Tolerance(); err == nil {
			c.Result += fmt.Sprintf(", ± %.1f dB (class %d)", tolerance, r.MeterClass)
		}
		out = append(out, c)
	}
	if len(atOne) > 1 {
		if together, err := checks.AddLevels(atOne...); err == nil {
			out = append(out, Computed{About: "Sounders together", Formula: "10 lg Σ 10^(L/10)", Inputs: fmt.Sprintf("%d sounders", len(atOne)), Result: fmt.Sprintf("%.1f dB at 1 m of each", together)})
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
	for _, d := range a.Detectors {
		r := d.Step.Reading(record.LoopReading)
		if r == nil {
			continue
		}
		c := Computed{About: fmt.Sprintf("Loop of zone %d, read at %s", d.Zone.Number, d.Point), Step: d.Step.Step().ID, Limit: "at rest: normal",
			Inputs: r.AsTyped + ", " + d.Zone.Hint(), Formula: "Kirchhoff, resistors within 5 %, up to 50 Ω of cable and joints"}
		fit, err := Circuit(d.Zone).Classify(loopOhm(r), cableAllowance)
		if err != nil {
			c.Missing = "not computed: " + err.Error()
			out = append(out, c)
			continue
		}
		var states []string
		for _, w := range fit {
			if state := string(w.State); !slices.Contains(states, state) {
				states = append(states, state)
			}
		}
		c.Result, c.Verdict = strings.Join(states, " or "), checks.Pass
		switch {
		case len(states) == 0:
			c.Result, c.Verdict, c.Change = "no state of this circuit explains it", checks.Fail, "look for a wrong resistor, a further one, or a bad joint"
		case !slices.Contains(states, string(checks.LoopNormal)):
			c.Verdict, c.Change = checks.Fail, "compare the wiring with the site file; look for a contact that is not at rest"
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

func meterTolerance(class checks.MeterClass) float64 {
	t, _ := class.Tolerance() // both classes are known
	return t
}

// reading is the line of a step, if it was taken.
func (a *Assessment) reading(step string) (ReadingLine, bool) {
	for _, l := range a.Readings {
		if l.Step.Step().ID == step && l.Taken {
			return l, true
		}
	}
	return ReadingLine{}, false
}

func floatOf(a *Assessment) Computed {
	s := a.Record.Site()
	c := Computed{About: "Float voltage", Step: programme.IDMainsPresent, Formula: "range of the chemistry at 25 °C; lead-acid − 18 mV/K for six cells"}
	l, taken := a.reading(programme.IDMainsPresent)
	if !taken {
		c.Missing = "not computed: the supply was not measured with mains present"
		return c
	}
	in, err := checks.Chemistry(s.Supply.Battery.Chemistry).FloatRange(celsiusOf(s))
	if err != nil {
		c.Missing = "not computed: " + err.Error()
		return c
	}
	d, err := checks.Decide(l.Reading.Value, l.Uncertainty, in)
	if err != nil {
		c.Missing = "not computed: " + err.Error()
		return c
	}
	c.Inputs = fmt.Sprintf("%.2f V %s, %s, %g °C", l.Reading.Value, plusMinus(l.Uncertainty, "V"), s.Supply.Battery.Chemistry, celsiusOf(s))
	plausible := map[checks.Verdict]string{checks.Pass: "plausible", checks.Undecided: "perhaps plausible", checks.Fail: "not plausible for this chemistry"}
	c.Result = plausible[d.Verdict]
	c.Limit = fmt.Sprintf("%.2f V to %.2f V, handbook values; the battery's own sheet decides", in.Lower, in.Upper)
	if d.Verdict == checks.Fail { // a supply terminal is not always the battery's: a hint, no verdict
		c.Change = "measure at the battery itself, and compare with its data sheet"
	}
	return c
}

func internalOf(a *Assessment) Computed {
	c := Computed{About: "Internal resistance of the supply on standby", Step: programme.IDAlarmLoad, Formula: "R = (U1 − U2)/(I2 − I1), with leads and fuse in it"}
	load, loaded := a.reading(programme.IDAlarmLoad)
	rest, rested := a.lastStandby()
	if !loaded || !rested {
		c.Missing = "not computed: no voltages on standby with and without the sounder"
		return c
	}
	ampere, from := soundingCurrent(a.Record, load.Step.Step().Output)
	if ampere == 0 {
		c.Missing = "not computed: the sounder's current is not known"
		return c
	}
	ohm, u, err := checks.InternalResistance(rest.Reading.Value, 0, load.Reading.Value, ampere, rest.Uncertainty)
	if err != nil {
		c.Missing = "not computed: " + err.Error()
		return c
	}
	c.Inputs = fmt.Sprintf("%.2f V, then %.2f V with %s more (%s)", rest.Reading.Value, load.Reading.Value, milli(ampere), from)
	c.Result = fmt.Sprintf("%.2f Ω %s", ohm, plusMinus(u, "Ω"))
	if ohm <= u && u > 0 {
		c.Result += ", not told from zero with this voltmeter"
	}
	return c
}

// plusMinus prints an expanded uncertainty; zero stands for not stated.
func plusMinus(u float64, unit string) string {
	if u == 0 {
		return "(uncertainty not stated)"
	}
	return fmt.Sprintf("± %.2f %s", u, unit)
}

// soundingCurrent is that of a sounder, as measured or as the site file says.
func soundingCurrent(r *record.Record, output string) (ampere float64, from string) {
	for _, s := range r.Outcomes() {
		if s.Step().Kind == programme.StepOutput && s.Step().Output == output {
			if m := s.Reading(record.CurrentReading); m != nil {
				return m.Value, "measured"
			}
		}
	}
	return r.Site().Output(output).Current.SI, "site file"
}

// standbyReadings are the voltages without the sounder while mains was removed.
func (a *Assessment) standbyReadings() []ReadingLine {
	var out []ReadingLine
	for _, l := range a.Readings {
		if l.Taken && l.Reading.WhileOff && !l.Step.Step().Load {
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
	c := Computed{About: "Sag on standby", Formula: "Theil–Sen slope; last reading less its uncertainty, carried on along the steepest slope of Sen's 95 % interval, at most ten times as long as was observed; a battery that is nearly empty falls faster than a line, so this does not replace a discharge test"}
	lines := a.standbyReadings()
	if len(lines) < 3 {
		c.Missing = "not computed: fewer than three voltages on standby"
		return c
	}
	slices.SortStableFunc(lines, func(a, b ReadingLine) int { return cmp.Compare(a.Reading.SinceOff, b.Reading.SinceOff) })
	if span := lines[len(lines)-1].Reading.SinceOff - lines[0].Reading.SinceOff; span < shortestSag {
		c.Missing = "not computed: voltages over " + checks.FormatDuration(span.Round(time.Second)) + " tell no slope; hold for five minutes or more"
		return c
	}
	c.Step = lines[len(lines)-1].Step.Step().ID
	var hours, volts []float64
	for _, l := range lines {
		hours = append(hours, l.Reading.SinceOff.Hours())
		volts = append(volts, l.Reading.Value)
	}
	slope, err := checks.TheilSen(hours, volts, 0.95)
	if err != nil {
		c.Missing = "not computed: " + err.Error()
		return c
	}
	cutOff := a.Record.Site().Limits.AlarmLoad
	left, limited, err := checks.TimeToCutOff(hours, volts, cutOff.SI, lines[0].Uncertainty)
	if err != nil {
		c.Missing = "not computed: " + err.Error()
		return c
	}
	c.Inputs = fmt.Sprintf("%d voltages over %s, cut-off %s V, the limit under alarm load (%s)", len(lines), checks.FormatDuration((lines[len(lines)-1].Reading.SinceOff - lines[0].Reading.SinceOff).Round(time.Second)), checks.FormatNumber(cutOff.SI), cutOff.Source)
	if len(lines) < 5 {
		c.Formula = strings.Replace(c.Formula, "the steepest slope of Sen's 95 % interval", "the steepest slope between two readings (too few for Sen's interval)", 1)
	}
	c.Result = fmt.Sprintf("%s V an hour; at least %s to the cut-off", strings.Replace(fmt.Sprintf("%.2f", slope.PerStep), "-", "−", 1), checks.FormatDuration(time.Duration(math.Floor(left*60))*time.Minute))
	if limited {
		c.Result += ", which is as far as these readings reach"
	}
	return c
}

func ageOf(r *record.Record) Computed {
	b := r.Site().Supply.Battery
	c := Computed{About: "Age of the battery", Formula: "date of the visit − date fitted"}
	fitted, err := time.Parse(time.DateOnly, b.Fitted)
	if err != nil {
		return missing(c, "date the battery was fitted")
	}
	life := checks.Chemistry(b.Chemistry).ServiceLife()
	age := r.Begun().Sub(fitted)
	years := func(d time.Duration) string { return fmt.Sprintf("%.1f years", d.Hours()/8766) }
	c.Inputs, c.Result, c.Limit = "fitted "+b.Fitted, years(max(0, age)), "renewed after "+years(life)+", common practice"
	c.Verdict = checks.Pass
	switch {
	case age < -24*time.Hour:
		c.Verdict, c.Result, c.Change = checks.Fail, "fitted after this visit", "correct the date in the site file"
	case age > life:
		c.Verdict, c.Change = checks.Undecided, "renew it, or prove it by a discharge test"
	}
	return c
}
