package judge

import (
	"math"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What concerns cables of an older system.
const (
	PartCables Part = "cables"
	PartTester Part = "cable tester"

	// CautionCables stands before cables are measured.
	CautionCables Caution = "cables"

	LayNew Remedy = "lay new" // a cable, or mend it, and measure it again
)

// What may be the matter with reused cables.
type (
	// ReuseNotSaid is a site file that does not say of zones whether their cable is reused;
	// All that it says it of none.
	ReuseNotSaid struct {
		Zones []programme.ZoneName `json:"zones,omitempty"`
		All   bool                 `json:"all,omitempty"`
	}
	// CablesLeftOut is the whole stage, with so many cables.
	CablesLeftOut struct {
		Cables int `json:"cables"`
	}
	// CableUnmeasured is what of a cable was not measured.
	CableUnmeasured struct {
		Of []CablePart `json:"of"`
	}
	// TesterUncertain is an instrument of which nobody stated how well it reads, or with what
	// voltage it tests.
	TesterUncertain struct {
		Volt  bool `json:"volt,omitempty"`
		Share bool `json:"share,omitempty"`
	}
)

// CablePart is what is measured of a cable.
type CablePart string

// The parts.
const (
	LoopOfCable  CablePart = "loop"
	BetweenCores CablePart = "between"
	CoresToEarth CablePart = "earth"
)

// Code names it.
func (p CablePart) Code() string     { return "cable-part/" + string(p) }
func (ReuseNotSaid) Code() string    { return "reuse-not-said" }
func (CablesLeftOut) Code() string   { return "cables-left-out" }
func (CableUnmeasured) Code() string { return "cable-unmeasured" }
func (TesterUncertain) Code() string { return "tester-uncertain" }

// CableLine is what was seen and measured of one reused cable.
type CableLine struct {
	Zone       *site.Zone
	Outcome    *record.Outcome
	Tested     *record.CableTested // nil for not at all
	Apart      *record.Outcome     // that it runs apart from mains, nil where that was no part of the visit
	Guesses    []checks.Guess      // what it probably is, the likely first
	Continuity *Computed           // nil for not measured
	Insulation *Computed
}

// Cables are the reused cables, in the order of the programme.
func (a *Assessment) Cables() []CableLine {
	var lines []CableLine
	for _, o := range a.record.Outcomes() {
		z := a.record.Site().Zone(o.Step().Zone)
		if o.Step().Kind != programme.StepCable || z == nil {
			continue
		}
		lines = append(lines, a.cableLine(o, z))
	}
	return lines
}

func (a *Assessment) cableLine(o *record.Outcome, z *site.Zone) CableLine {
	line := CableLine{Zone: z, Outcome: o}
	for _, other := range a.record.Outcomes() {
		if s := other.Step(); s.Item == programme.ItemApart && s.Zone == z.Number {
			line.Apart = other
		}
	}
	computed := slices.ContainsFunc(a.computed, func(c Computed) bool { return c.Step == o.Step().ID })
	if o.Result() == record.LeftOut && !computed { // see cablesOf
		return line
	}
	if line.Tested = o.Cable(); line.Tested == nil {
		return line
	}
	line.Guesses = GuessCable(*line.Tested)
	for i, c := range a.computed {
		if c.Step != o.Step().ID {
			continue
		}
		switch c.Row.(type) {
		case ContinuityRow:
			line.Continuity = &a.computed[i]
		case InsulationRow:
			line.Insulation = &a.computed[i]
		}
	}
	return line
}

// GuessCable is what a cable probably is, from its cores and colours, and from its resistor
// where that was measured: a far end that was shorted says nothing of what was there.
func GuessCable(t record.CableTested) []checks.Guess {
	ohm := math.NaN()
	if loop := t.Values.Loop; t.Values.Resistor && !loop.Open {
		ohm = loop.Ohm
	}
	guesses, _ := checks.IdentifyCable(t.Is.Cores, t.Is.Colours, ohm) // its text was accepted
	return guesses
}

// The rows about a reused cable.
type (
	// ContinuityRow is a loop through two cores, and what it should read.
	ContinuityRow struct {
		Zone        programme.ZoneName `json:"zone"`
		Measured    string             `json:"measured"`
		Uncertainty float64            `json:"uncertainty_ohm,omitempty"`
		Resistor    string             `json:"resistor,omitempty"` // at the far end, as the site file has it
		WithIt      bool               `json:"with_resistor,omitempty"`
		Length      string             `json:"length,omitempty"`
		Conductor   string             `json:"conductor,omitempty"`
		Cable       float64            `json:"cable_ohm,omitempty"` // both conductors, 0 for not known
		Open        bool               `json:"open,omitempty"`
		Short       bool               `json:"short,omitempty"` // before the resistor
	}
	// InsulationRow is the insulation between cores and to earth, and what it is held against.
	InsulationRow struct {
		Zone     programme.ZoneName `json:"zone"`
		Between  string             `json:"between,omitempty"`
		Earth    string             `json:"earth,omitempty"`
		Worst    CablePart          `json:"worst"`
		TestVolt float64            `json:"test_volt,omitempty"` // 0 for not known
		Share    Assumable          `json:"uncertainty_share"`
		Limit    site.Limit         `json:"limit"` // its zero value of By for the published one
	}
)

// Code names the row.
func (ContinuityRow) Code() string { return "continuity" }
func (InsulationRow) Code() string { return "insulation" }

// LackEndOfLine is a resistor of the site file.
const LackEndOfLine LackCode = "end-of-line resistor"

// cablesOf computes what was measured of reused cables. Who leaves out what was measured takes
// a proof back, not a defect.
func cablesOf(a *Assessment) []Computed {
	var out []Computed
	for _, o := range a.record.Outcomes() {
		t, z := o.Cable(), a.record.Site().Zone(o.Step().Zone)
		if o.Step().Kind != programme.StepCable || t == nil || z == nil {
			continue
		}
		rows := CableRows(a.record.Site(), z, *t, a.record.Tester())
		if o.Result() == record.LeftOut {
			rows = slices.DeleteFunc(rows, func(c Computed) bool { return c.Ruling != checks.Fail })
		}
		out = append(out, rows...)
	}
	return out
}

// CableRows are what was measured of a cable, held against what the site file says.
func CableRows(s *site.Site, z *site.Zone, t record.CableTested, tester *record.Tester) []Computed {
	var out []Computed
	if t.Values.Loop != nil {
		out = append(out, continuity(s, z, t))
	}
	if t.Values.Between != nil || t.Values.Earth != nil {
		out = append(out, insulation(s, z, t, tester))
	}
	return out
}

// continuity holds the loop of a cable against its length and conductor, and the resistor at
// its end. A broken core fails, and so does what the site file describes otherwise; what is
// only assumed of a cable does not, nor a resistor of another value: the older system's.
func continuity(s *site.Site, z *site.Zone, t record.CableTested) Computed {
	loop := *t.Values.Loop
	row := ContinuityRow{Zone: programme.NameOfZone(z), Measured: loop.Text, WithIt: t.Values.Resistor, Open: loop.Open}
	c := Computed{Step: t.Step, Row: row}
	bare := *z
	bare.Wiring, bare.ContactResistor.Text, bare.FaultResistor.Text = site.NormallyClosed, "", ""
	if row.WithIt {
		bare.Wiring, row.Resistor = site.OneResistor, z.EndOfLine.Text
		if !z.EndOfLine.Given() && !loop.Open {
			c.Row, c.Ruling, c.Missing = row, checks.Undecided, lack(LackEndOfLine)
			return c
		}
	}
	if loop.Open {
		c.Row, c.Ruling = row, checks.Fail
		return c
	}
	circuit, known, _ := circuitOf(s, &bare) // ReadLoop tells its error
	means, err := ReadLoop(s, &bare, loop.Ohm)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	if known {
		row.Cable, row.Length, row.Conductor = circuit.CableOhm, z.Cable.Length.Text, z.Cable.Conductor.Text
	}
	row.Uncertainty = offBy(loop.Ohm) + checks.Resistance.Resolution(checks.Quantity{SI: loop.Ohm, Text: loop.Text})/2
	row.Short = row.WithIt && slices.Contains(means.States, checks.LoopShorted)
	row.Open = slices.Contains(means.States, checks.LoopActive) && loop.Ohm >= openFrom
	c.Row, c.Ruling, c.Assumed = row, means.Ruling, means.Assumed
	if c.Ruling == checks.Fail && !row.Open && !row.Short && (!known || row.WithIt) {
		c.Ruling = checks.Undecided
	}
	if !known && c.Ruling == checks.Undecided {
		c.Missing = lack(LackZoneCable)
	}
	return c
}

// openFrom is what an ohmmeter shows as open, in Ω.
var openFrom = checks.Usual("loop/open")

// Rows of checks.Thresholds.
var (
	insulationLeast = checks.Usual("cable/insulation/holds")
	testerShare     = checks.Usual("cable/insulation/tester-share")
)

// insulation holds both against the limit that was declared, or the published one; the worse
// one counts.
func insulation(s *site.Site, z *site.Zone, t record.CableTested, tester *record.Tester) Computed {
	row := InsulationRow{Zone: programme.NameOfZone(z), Limit: s.Limits.Insulation, Share: Assumable{testerShare, true}}
	if !row.Limit.Declared() {
		row.Limit = site.Limit{SI: insulationLeast}
	}
	if tester != nil {
		if row.TestVolt = tester.Volt; tester.Share > 0 {
			row.Share = Assumable{Value: tester.Share}
		}
	}
	c := Computed{Step: t.Step, Ruling: checks.Pass}
	lowest := math.Inf(1)
	for _, part := range []struct {
		of    CablePart
		value *checks.CableValue
		text  *string
	}{{BetweenCores, t.Values.Between, &row.Between}, {CoresToEarth, t.Values.Earth, &row.Earth}} {
		if part.value == nil {
			continue
		}
		*part.text = part.value.Text
		ruling, err := checks.Insulation{Value: *part.value, Share: row.Share.Value, TestVolt: row.TestVolt,
			Limit: row.Limit.SI, Declared: row.Limit.Declared()}.Decide()
		if err != nil {
			c.Row, c.Missing = row, refused(err)
			return c
		}
		if graver(ruling, c.Ruling) || ruling == c.Ruling && part.value.Ohm < lowest {
			c.Ruling, row.Worst, lowest = ruling, part.of, part.value.Ohm
		}
	}
	c.Row = row
	return c
}

// graver tells whether one ruling is worse than another.
func graver(a, b checks.Ruling) bool {
	order := []checks.Ruling{checks.Pass, checks.Undecided, checks.Fail}
	return slices.Index(order, a) > slices.Index(order, b)
}

// findCables lists what is not known of reused cables. What was measured is a computed row,
// and that they run apart from mains is a line of a list.
func (a *Assessment) findCables() {
	r := a.record
	if r.Opened().Visit.MeasuresCables() {
		a.findReuse()
	}
	if isolated := r.Find(programme.IDIsolated); isolated != nil && isolated.Result() == record.LeftOut {
		a.limit(Finding{Step: programme.IDIsolated, Subject: Subject{Part: PartCables},
			What: CablesLeftOut{len(a.Cables())}, Because: isolated.Remark()})
		return
	}
	for _, l := range a.Cables() {
		a.findCable(l)
	}
	a.findTester()
}

func (a *Assessment) findReuse() {
	s := a.record.Site()
	var names []programme.ZoneName
	for _, z := range s.UnsaidZones() {
		names = append(names, programme.NameOfZone(z))
	}
	switch len(names) {
	case 0:
		return
	case len(s.Zones):
		a.limit(Finding{Subject: Subject{Part: PartCables}, What: ReuseNotSaid{All: true}})
		return
	}
	a.limit(Finding{Subject: Subject{Part: PartCables}, What: ReuseNotSaid{Zones: names}})
}

func (a *Assessment) findCable(l CableLine) {
	name := programme.NameOf(a.record.Site(), l.Outcome.Step())
	f := Finding{Step: l.Outcome.Step().ID, Subject: Subject{Step: &name}, Because: l.Outcome.Remark(),
		Noted: l.Outcome.Notes()}
	if l.Tested == nil {
		f.What = NotTested{}
		a.limit(f)
		return
	}
	var not []CablePart
	for _, part := range []struct {
		of    CablePart
		value *checks.CableValue
	}{{LoopOfCable, l.Tested.Values.Loop}, {BetweenCores, l.Tested.Values.Between},
		{CoresToEarth, l.Tested.Values.Earth}} {
		if part.value == nil && (part.of != BetweenCores || l.Tested.Is.Cores > 1) {
			not = append(not, part.of)
		}
	}
	if len(not) > 0 {
		f.What = CableUnmeasured{not}
		a.limit(f)
	}
}

// findTester lists what is not known of the instrument, where something was measured with it.
func (a *Assessment) findTester() {
	tester := a.record.Tester()
	insulated := slices.ContainsFunc(a.Cables(), func(l CableLine) bool { return l.Insulation != nil })
	if tester == nil || !slices.ContainsFunc(a.Cables(), func(l CableLine) bool {
		return l.Insulation != nil || l.Continuity != nil
	}) {
		return
	}
	f := Finding{Step: programme.IDTester, Subject: Subject{Part: PartTester}}
	today := a.record.Local(a.record.Begun()).Format(time.DateOnly)
	switch {
	case tester.Calibrated == "":
		f.What = CalibrationNotStated{}
		a.limit(f)
	case tester.Calibrated < today:
		f.What = CalibrationOver{tester.Calibrated}
		a.limit(f)
	}
	if insulated && (tester.Volt == 0 || tester.Share == 0) {
		f.What = TesterUncertain{Volt: tester.Volt == 0, Share: tester.Share == 0}
		a.limit(f)
	}
}

// JudgedCable is what a reused cable probably was, from what was seen of it. What was measured
// stands among the computations.
type JudgedCable struct {
	Step    string             `json:"step"`
	Zone    int                `json:"zone"`
	Perhaps []checks.GuessCode `json:"perhaps,omitempty"` // the likely first
}

func judgedCables(lines []CableLine) (all []JudgedCable) {
	for _, l := range lines {
		c := JudgedCable{Step: l.Outcome.Step().ID, Zone: l.Zone.Number}
		for _, g := range l.Guesses {
			c.Perhaps = append(c.Perhaps, g.What)
		}
		all = append(all, c)
	}
	return all
}

// cableSteps are all steps of the stage.
func (a *Assessment) cableSteps() (ids []string) {
	for _, o := range a.record.Outcomes() {
		if o.Step().Stage == programme.StageCables {
			ids = append(ids, o.Step().ID)
		}
	}
	return ids
}

// recallsCables tells how what concerns reused cables is read again.
func recallsCables() {
	readsAs[ReuseNotSaid]("reuse-not-said")
	readsAs[CablesLeftOut]("cables-left-out")
	readsAs[CableUnmeasured]("cable-unmeasured")
	readsAs[TesterUncertain]("tester-uncertain")
	readsRow[ContinuityRow]("continuity")
	readsRow[InsulationRow]("insulation")
}
