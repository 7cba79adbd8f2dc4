package judge

import (
	"math"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// LoopRow is what a loop reading at rest means.
type LoopRow struct {
	Detector  programme.DetectorName `json:"detector"`
	Measured  string                 `json:"measured"`
	Wiring    programme.Hint         `json:"wiring"`
	Tolerance Assumable              `json:"tolerance"` // of the resistors
	Length    string                 `json:"length,omitempty"`
	Conductor string                 `json:"conductor,omitempty"`
	Cable     float64                `json:"cable_ohm,omitempty"` // both conductors, 0 for not known
	States    []checks.LoopState     `json:"states,omitempty"`    // that explain it
	Opened    int                    `json:"opened,omitempty"`    // contacts, at the least, that explain it
}

// Code names the row.
func (LoopRow) Code() string { return "loop" }

// LackZoneCable is the cable of a zone.
const LackZoneCable LackCode = "cable of the zone"

// LackResistors are those of a circuit whose wiring is known.
const LackResistors LackCode = "resistors of the zone"

// expectsNoLoop tells whether something of a circuit's wiring is not known, so that nothing is
// expected of its loop.
func expectsNoLoop(s *site.Site, z *site.Zone) bool {
	return len(s.Missing(site.Part{Group: site.GroupWiring, Zone: z.Number})) > 0
}

// loopsOf says what each loop reading that was taken at rest means. One of a circuit of which
// nobody knows how it is wired means nothing: that the wiring is not known is a limitation.
func loopsOf(a *Assessment) []Computed {
	var out []Computed
	for _, d := range a.detectors {
		if r := d.Outcome.Reading(record.LoopReading); r != nil && d.Zone.Wiring != site.WiringUnknown {
			out = append(out, loopOf(a.record.Site(), d, r))
		}
	}
	return out
}

func loopOf(s *site.Site, d DetectorLine, r *record.Taken) Computed {
	row := LoopRow{Detector: d.Name, Measured: r.AsTyped, Wiring: programme.HintOf(d.Zone)}
	c := Computed{Step: d.Outcome.Step().ID, Row: row}
	if expectsNoLoop(s, d.Zone) {
		c.Missing = lack(LackResistors)
		return c
	}
	circuit, cable, _ := circuitOf(s, d.Zone) // ReadLoop tells its error
	means, err := ReadLoop(s, d.Zone, LoopOhm(r.Reading))
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	row.States, row.Opened, row.Tolerance = means.States, means.Opened, given(d.Zone.Tolerance, 1, usualTolerance)
	if cable {
		row.Cable, row.Length, row.Conductor = circuit.CableOhm, d.Zone.Cable.Length.Text, d.Zone.Cable.Conductor.Text
	}
	c.Row, c.Ruling, c.Assumed = row, means.Ruling, means.Assumed
	for _, what := range means.Lacks {
		c.Missing = append(c.Missing, lack(what)...)
	}
	return c
}

// LoopOhm is a loop reading in Ω, +Inf for an open one.
func LoopOhm(r record.Reading) float64 {
	if r.Open {
		return math.Inf(1)
	}
	return r.Value
}

// UnheldLoop is a loop reading that is held against nothing.
type UnheldLoop struct {
	Detector programme.DetectorName
	Taken    *record.Taken
}

// UnheldLoops are those of the walk-test whose circuits are not known to be wired in any way.
func (a *Assessment) UnheldLoops() (out []UnheldLoop) {
	for _, d := range a.detectors {
		if r := d.Outcome.Reading(record.LoopReading); r != nil && expectsNoLoop(a.record.Site(), d.Zone) {
			out = append(out, UnheldLoop{d.Name, r})
		}
	}
	return out
}
