package judge

import (
	"math"
	"strings"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What is taken of a sound level where nobody says more: rows of checks.Thresholds.
var (
	usualFrom        = checks.Usual("sound/frequency/low")
	usualTo          = checks.Usual("sound/frequency/high")
	usualShare       = checks.Usual("sound/distance/share")
	usualMargin      = checks.Usual("sound/margin/holds")
	reflected        = checks.Usual("sound/reflection/lowers")
	weightingDiffers = checks.Usual("sound/weighting/differs")
	cutOffHolds      = checks.Usual("cut-off/holds-share")
	cutOffEarly      = checks.Usual("cut-off/early-share")
)

// widestAt is the frequency at which a meter's limits are widest, as far as they are known,
// in Hz.
const widestAt = 8000.0

// soundReading is a measured level with all that is known of it: dB and metres, zero for
// not stated.
type soundReading struct {
	Level, Resolution, Distance, DistanceUncertainty, Ambient float64
	Class                                                     checks.MeterClass
	Weighting                                                 string // A, C or Z, "" for not stated
	Typed                                                     string
}

// soundOf is what was read of a sounder.
func soundOf(r *record.Taken) soundReading {
	number := r.AsTyped[:strings.IndexFunc(r.AsTyped+" ", notOfNumber)] // 96.5 dB(A) at 3 m: to a tenth
	return soundReading{Level: r.Value, Distance: r.Distance, DistanceUncertainty: r.DistanceUncertainty,
		Ambient: r.Ambient, Weighting: r.Weighting, Class: checks.MeterClass(r.MeterClass), Typed: r.AsTyped,
		Resolution: checks.SoundLevel.Resolution(checks.Quantity{SI: r.Value, Text: number + checks.SoundLevel.SI})}
}

func notOfNumber(r rune) bool { return !strings.ContainsRune("+-.0123456789", r) }

// known tells how well the distance is known, and whether somebody said so.
func (r soundReading) known() Assumable {
	if r.DistanceUncertainty > 0 {
		return Assumable{Value: r.DistanceUncertainty}
	}
	return Assumable{Value: usualShare * r.Distance, Assumed: true}
}

// currentsOf holds what outputs were measured to draw against what the budget
// was computed with.
func currentsOf(a *Assessment) []Computed {
	var out []Computed
	for _, o := range a.outputs {
		r := o.Outcome.ReadingWhileOn(record.CurrentReading)
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

// levelsOf holds the level of each sounder against the declared one, and against the
// ambient level.
func levelsOf(a *Assessment) []Computed {
	var out []Computed
	for _, o := range a.outputs {
		if o.Output.Kind != site.Sounder {
			continue
		}
		step, r := o.Outcome.Step().ID, o.Outcome.ReadingWhileOn(record.LevelReading)
		switch {
		case r != nil:
			sound := soundOf(r)
			level, margin := levelOf(o.Output, sound), marginOf(a.record.Site(), o.Output, sound)
			level.Step, margin.Step = step, step
			out = append(out, level, margin)
		case o.Result == record.Works:
			out = append(out, Computed{Row: LevelRow{Output: o.Output.Name}, Step: step, Missing: lack(LackLevel)})
		}
	}
	return out
}

// levelOf holds a level against the declared one, where it was measured: rooms reflect,
// and no level is carried to another distance.
func levelOf(o *site.Output, r soundReading) Computed {
	row := LevelRow{Output: o.Name, Measured: r.Typed, Class: int(r.Class), Weighting: r.Weighting, Distance: r.Distance,
		Within: r.known(), Declared: o.Level.Text, DeclaredAt: o.LevelAt.Text, Frequency: o.Frequency.Text, Level: r.Level}
	c := Computed{Row: row}
	if r.Ambient != 0 {
		var err error
		if row.Background, row.UpperBound, err = checks.BackgroundCorrection(r.Level, r.Ambient); err != nil {
			c.Missing = refused(err)
			return c
		}
		row.Level -= row.Background
	}
	usual, err := boundsOf(o, r, usualFrom, usualTo)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	row.Tolerance, row.Down, row.Up = usual.tolerance, usual.down, usual.up
	if o.Level.Given() {
		row.Elsewhere = math.Abs(r.Distance-o.LevelAt.SI) > row.Within.Value
	}
	c.Row = row
	switch {
	case !o.Level.Given():
		c.Ruling, c.Missing = checks.Undecided, lack(LackDeclaredLevel)
	case r.Class == 0 || row.Elsewhere:
		c.Ruling = checks.Undecided
	default:
		c.rule(o, r, row, usual)
	}
	return c
}

// rule decides a level. The frequency that nobody declared may be any of which a meter's
// limits are known: what those would decide otherwise is not decided.
func (c *Computed) rule(o *site.Output, r soundReading, row LevelRow, usual bounds) {
	c.Ruling = row.against(o.Level.SI, usual)
	widest, _ := boundsOf(o, r, widestAt, widestAt) // as it took the reading before
	if row.against(o.Level.SI, widest) != c.Ruling {
		c.Assumed, c.Ruling = []string{"outputs[].frequency"}, checks.Undecided
	}
}

// bounds are the meter's tolerance, and by how much a level may be less and more, dB.
type bounds struct{ tolerance, down, up float64 }

// boundsOf is how uncertain a level is, where no frequency is declared for one between
// two. The distance is seen from that of the declared level. A meter of no class has no
// bounds.
func boundsOf(o *site.Output, r soundReading, from, to float64) (b bounds, err error) {
	if o.Frequency.Given() {
		from, to = o.Frequency.SI, o.Frequency.SI
	}
	budget := checks.SoundBudget{Resolution: r.Resolution, Distance: r.Distance, DistanceUncertainty: r.known().Value}
	if off := math.Abs(r.Distance - o.LevelAt.SI); off <= budget.DistanceUncertainty {
		budget.Distance, budget.DistanceUncertainty = o.LevelAt.SI, budget.DistanceUncertainty+off
	}
	if r.Class != 0 {
		if budget.Tolerance, err = r.Class.Tolerance(from, to); err != nil {
			return b, err
		}
	}
	b.tolerance = budget.Tolerance
	b.down, b.up, err = budget.Expanded()
	if r.Weighting == "C" || r.Weighting == "Z" {
		b.down, b.up = b.down+weightingDiffers, b.up+weightingDiffers // data sheets mean A
	}
	return b, err
}

// against holds the level against a declared one, with a guard band on each side. A level
// too near to its background is an upper bound, and one wall may have lowered it.
func (r LevelRow) against(declared float64, b bounds) checks.Ruling {
	switch {
	case !r.UpperBound && !below(r.Level-b.down, declared):
		return checks.Pass
	case !outside(r.Level+b.up+reflected, checks.AtMost(declared)):
		return checks.Fail
	}
	return checks.Undecided
}

// marginOf holds a level against the ambient one: against the margin that the site file
// declares, else against what is published, which no verdict fails by.
func marginOf(s *site.Site, o *site.Output, r soundReading) Computed {
	row := MarginRow{Output: o.Name, Measured: r.Typed, Limit: s.Limits.Margin}
	if !s.Limits.Margin.Declared() {
		row.Limit = site.Limit{SI: usualMargin, By: site.Named, Source: "ISO 7731:2003"}
	}
	c := Computed{Row: row}
	if r.Ambient == 0 {
		c.Missing = lack(LackAmbient)
		return c
	}
	row.Margin = checks.MarginOverAmbient(r.Level, r.Ambient)
	if r.Class != 0 {
		b, err := marginBounds(o, r)
		if err != nil {
			c.Missing = refused(err)
			return c
		}
		row.Uncertainty = b
	}
	c.Row, c.Ruling = row, checks.Undecided
	switch {
	case r.Class == 0:
	case !s.Limits.Margin.Declared():
		if !below(row.Margin, usualMargin) {
			c.Ruling = checks.Pass
		}
	default:
		d, _ := checks.Decide(row.Margin, row.Uncertainty, checks.AtLeast(row.Limit.SI)) // all of them are numbers
		c.Ruling = d.Ruling
	}
	return c
}

// marginBounds is the expanded uncertainty of a margin: the meter's limits at what the
// sounder sounds at and at 1 kHz, where most of an ambient level is, with both last
// digits. No distance is in it.
func marginBounds(o *site.Output, r soundReading) (float64, error) {
	from, to := usualFrom, usualTo
	if o.Frequency.Given() {
		from, to = o.Frequency.SI, o.Frequency.SI
	}
	tone, err := r.Class.Tolerance(from, to)
	if err != nil {
		return tone, err
	}
	around, _ := r.Class.Tolerance(1000, 1000) // the class is known
	budget := checks.SoundBudget{Tolerance: math.Hypot(tone, around), Resolution: math.Sqrt2 * r.Resolution,
		Distance: r.Distance}
	_, up, err := budget.Expanded()
	return up, err
}

// cutOffsOf holds the time after which each sounder and strobe stopped by itself against
// the declared one. A strobe without one flashes until it is reset.
func cutOffsOf(a *Assessment) []Computed {
	var out []Computed
	for _, o := range a.outputs {
		r := o.Outcome.Reading(record.CutOffReading)
		asked := o.Output.Kind == site.Sounder || o.Output.Kind == site.Strobe && o.Output.CutOff.Given()
		if r == nil && (!asked || o.Result != record.Works) {
			continue
		}
		c := cutOffOf(o.Output, r)
		c.Step = o.Outcome.Step().ID
		out = append(out, c)
	}
	return out
}

func cutOffOf(o *site.Output, r *record.Taken) Computed {
	row := CutOffRow{Output: o.Name, Declared: o.CutOff.Text}
	c := Computed{Row: row}
	if r == nil {
		c.Missing = lack(LackCutOff)
		return c
	}
	row.Observed, row.Exceeded = r.AsTyped, r.Exceeded
	c.Row, c.Ruling = row, checks.Pass
	switch declared := o.CutOff.SI; {
	case !o.CutOff.Given():
		c.Ruling, c.Missing = checks.Undecided, lack(LackDeclaredCutOff)
	case r.Exceeded && !below(r.Value, cutOffHolds*declared), outside(r.Value, checks.AtMost(cutOffHolds*declared)):
		c.Ruling = checks.Fail
	case r.Exceeded:
		c.Ruling = checks.Undecided
	case below(r.Value, cutOffEarly*declared):
		c.Ruling = checks.Undecided
	}
	return c
}
