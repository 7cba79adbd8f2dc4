package judge

import (
	"math"
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// The supply voltages that a drop is tried with where nobody declares the lowest: the
// nominal one, and the lowest end of discharge of six cells.
var (
	nominalVolt = checks.Usual("drop/nominal")
	lowestVolt  = 6 * checks.Usual("lead-acid/end/fails")
)

// DropRow is the voltage at a powered detector under alarm load.
type DropRow struct {
	Detector  programme.DetectorName `json:"detector"`
	Supply    float64                `json:"supply_volt"`
	Converter bool                   `json:"converter,omitempty"` // whose output the supply is
	Limit     *site.Limit            `json:"limit,omitempty"`     // else the limit that it is
	Length    string                 `json:"length"`
	Conductor string                 `json:"conductor"`
	After     site.Point             `json:"after,omitempty"` // the detector before it on the same cable
	Before    float64                `json:"lost_before_volt,omitempty"`
	Loop      float64                `json:"loop_ohm"`
	Rule      checks.WireRule        `json:"rule"` // of the conductor's resistance
	Current   string                 `json:"current"`
	Carries   float64                `json:"carries_ampere"` // its own and those beyond it
	Minimum   string                 `json:"minimum"`
	Far       float64                `json:"far_volt"`
	Hopeless  bool                   `json:"hopeless,omitempty"` // no cable helps
	Shorten   float64                `json:"shorten_metre,omitempty"`
	Thicker   string                 `json:"thicker,omitempty"`
}

// Code names the row.
func (DropRow) Code() string { return "drop" }

// LackOutput is that of a converter or pack, which feeds the detectors.
const LackOutput LackCode = "converter output"

// dropsOf is the voltage at every powered detector under alarm load. Each section of a
// cable carries the current of all detectors beyond it.
func dropsOf(s *site.Site) []Computed {
	var out []Computed
	beyond := s.CurrentsBeyond()
	s.Each(func(p site.Point, z *site.Zone, d *site.Detector) {
		if d.Power != nil {
			out = append(out, dropOf(s, p, z, d, beyond))
		}
	})
	return out
}

// cableCelsius is the temperature of cables: the usual one, unless the coldest is warmer.
func cableCelsius(s *site.Site) float64 {
	return math.Max(celsiusOf(s), checks.Usual("usual/temperature"))
}

// section is one piece of cable with what it carries.
type section struct {
	run  checks.Run
	rule checks.WireRule
}

// sectionOf is the cable before a detector. Flexible is the worst make: alarm cable
// seldom says what it is.
func sectionOf(s *site.Site, d *site.Detector, ampere float64) (section, []Lack) {
	var missing []Lack
	if !d.Power.CableLength.Given() {
		missing = append(missing, lack(LackLength)...)
	}
	if d.Power.Conductor.Text == "" {
		missing = append(missing, lack(LackConductor)...)
	}
	if len(missing) > 0 {
		return section{}, missing
	}
	wire, err := d.Power.Conductor.Resistance(checks.Flexible, cableCelsius(s))
	if err != nil {
		return section{}, refused(err)
	}
	run := checks.Run{LengthMetre: d.Power.CableLength.SI, OhmPerMetre: wire.OhmPerMetre, Ampere: ampere}
	if _, err := run.Drop(); err != nil {
		return section{}, refused(err)
	}
	return section{run, wire.Rule}, nil
}

// dropSupply is the lowest voltage that feeds detectors: what a converter gives, or the
// least that this page accepts under alarm load. assumed tells that nobody declared it.
func dropSupply(s *site.Site) (row DropRow, assumed bool, missing []Lack) {
	if s.Supply.HasBattery() && !s.Supply.Battery.Seen() {
		if !s.Supply.Battery.Output.Given() {
			missing = lack(LackOutput)
		}
		return DropRow{Supply: s.Supply.Battery.Output.SI, Converter: true}, false, missing
	}
	limit := s.Limits.AlarmLoad
	return DropRow{Supply: limit.SI, Limit: &limit}, !limit.Declared(), nil
}

func dropOf(s *site.Site, p site.Point, z *site.Zone, d *site.Detector, beyond map[site.Point]float64) Computed {
	row, assumed, missing := dropSupply(s)
	row.Detector = programme.DetectorName{Point: p, Name: d.Name, Zone: programme.NameOfZone(z)}
	row.Length, row.Conductor, row.Current = d.Power.CableLength.Text, d.Power.Conductor.Text, d.Power.Current.Text
	row.Minimum, row.After = d.Power.Minimum.Text, d.Power.After
	c := Computed{Row: row, Missing: missing}
	if !d.Power.Minimum.Given() {
		c.Missing = append(c.Missing, lack(LackMinimum)...)
	}
	before, own := 0.0, section{}
	for _, q := range s.Feed(p) {
		_, on, _ := s.Find(q) // Feed has found it
		piece, lacks := sectionOf(s, on, beyond[q])
		for _, l := range lacks {
			if !slices.ContainsFunc(c.Missing, func(m Lack) bool { return m.What == l.What }) {
				c.Missing = append(c.Missing, l)
			}
		}
		if own = piece; q != p {
			drop, _ := piece.run.Drop() // sectionOf took the run
			before += drop
		}
	}
	if len(c.Missing) > 0 {
		return c
	}
	c.decideDrop(s, d, row, own, before, assumed)
	return c
}

// decideDrop holds the voltage at a detector against its minimum. Only what was declared
// fails it: from a supply that we assume it must not even hold at the nominal voltage.
func (c *Computed) decideDrop(s *site.Site, d *site.Detector, row DropRow, own section, before float64, assumed bool) {
	lost, _ := own.run.Drop() // sectionOf took the run
	lost += before
	least := d.Power.Minimum.SI
	row.Far = math.Max(0, row.Supply-lost)
	row.Loop, row.Rule, row.Carries, row.Before = own.run.LoopOhm(), own.rule, own.run.Ampere, before
	switch {
	case !below(row.Far, least):
		c.Ruling = checks.Pass
		if assumed && below(lowestVolt-lost, least) {
			c.Assumed = []string{alarmLoadKey}
		}
	case assumed && !below(nominalVolt-lost, least):
		c.Ruling, c.Assumed = checks.Undecided, []string{alarmLoadKey}
	default:
		c.Ruling = checks.Fail
	}
	if c.Ruling != checks.Pass {
		own.run.SupplyVolt = row.Supply // what mend needs, where nothing is before it
		row.mend(s, d, own.run)
	}
	c.Row = row
}

// below tells whether a value without uncertainty lies below a limit.
func below(value, limit float64) bool { return outside(value, checks.AtLeast(limit)) }

// outside tells whether a value without uncertainty lies outside its limits, binary
// fractions left out.
func outside(value float64, in checks.Interval) bool {
	d, err := checks.Decide(value, 0, in)
	return err != nil || d.Ruling == checks.Fail
}

const alarmLoadKey = "limits.alarm_load_lower"

// mend says what would put a drop right. Of a cable that goes on from another detector
// its own piece is not enough to say.
func (r *DropRow) mend(s *site.Site, d *site.Detector, run checks.Run) {
	r.Hopeless = d.Power.Minimum.SI >= r.Supply
	if d.Power.After != "" {
		return
	}
	longest, _ := run.Longest(d.Power.Minimum.SI) // sectionOf took the run
	r.Shorten = math.Floor(longest)
	size, _, _ := checks.NextSize(d.Power.Conductor, checks.Flexible, cableCelsius(s), run, d.Power.Minimum.SI)
	r.Thicker = size.Text // none if no size helps
}
