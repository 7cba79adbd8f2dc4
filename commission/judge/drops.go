package judge

import (
	"math"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// dropsOf is the voltage at every powered detector on standby, each on a cable
// of its own.
func dropsOf(s *site.Site) []Computed {
	var out []Computed
	s.Each(func(p site.Point, z *site.Zone, d *site.Detector) {
		if d.Power != nil {
			out = append(out, dropOf(s, p, z, d))
		}
	})
	return out
}

func dropOf(s *site.Site, p site.Point, z *site.Zone, d *site.Detector) Computed {
	row := DropRow{Detector: programme.DetectorName{Point: p, Name: d.Name, Zone: programme.NameOfZone(z)},
		Length: d.Power.CableLength.Text, Conductor: d.Power.Conductor.Text, Current: d.Power.Current.Text,
		Minimum: d.Power.Minimum.Text, Supply: s.Limits.Standby.SI}
	c := Computed{Row: row}
	for _, input := range []struct {
		what  LackCode
		there bool
	}{
		{LackMinimum, d.Power.Minimum.Given()},
		{LackLength, d.Power.CableLength.Given()},
		{LackConductor, d.Power.Conductor.Text != ""},
	} {
		if !input.there {
			c.Missing = append(c.Missing, lack(input.what)...)
		}
	}
	if len(c.Missing) > 0 {
		return c
	}
	// Flexible is the worst make: alarm cable seldom says what it is.
	wire, err := d.Power.Conductor.Resistance(checks.Flexible, celsiusOf(s))
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	run := checks.Run{LengthMetre: d.Power.CableLength.SI, OhmPerMetre: wire.OhmPerMetre,
		Ampere: d.Power.Current.SI, SupplyVolt: row.Supply}
	if row.Far, err = run.FarEnd(); err != nil {
		c.Missing = refused(err)
		return c
	}
	row.Loop, row.Rule = run.LoopOhm(), wire.Rule
	c.Ruling = checks.Pass
	if row.Far < d.Power.Minimum.SI {
		c.Ruling = checks.Fail
		row.mend(s, d, run)
	}
	c.Row = row
	return c
}

// mend says what would put a drop right.
func (r *DropRow) mend(s *site.Site, d *site.Detector, run checks.Run) {
	r.Hopeless = d.Power.Minimum.SI >= run.SupplyVolt
	longest, _ := run.Longest(d.Power.Minimum.SI) // FarEnd took the run
	r.Shorten = math.Floor(longest)
	size, _, _ := checks.NextSize(d.Power.Conductor, checks.Flexible, celsiusOf(s), run, d.Power.Minimum.SI)
	r.Thicker = size.Text // none if no size helps
}
