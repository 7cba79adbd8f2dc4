package judge

import (
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// GotWorse is what got worse since earlier visits and limits the result.
type GotWorse struct {
	Of    []Worsened `json:"of"`
	Holds bool       `json:"holds,omitempty"` // all of it was shown to hold in this visit
}

// Code names the statement.
func (GotWorse) Code() string { return "got-worse" }

// Worsened is one thing that did. Values are in the unit of its measure.
type Worsened struct {
	Of       Measure     `json:"of"`
	Unit     string      `json:"unit"`                   // of its values: s, V, ohm
	After    float64     `json:"after_second,omitempty"` // without mains
	Then     float64     `json:"then"`
	At       time.Time   `json:"then_at"` // the visit of Then
	Now      float64     `json:"now"`
	Expanded float64     `json:"uncertainty,omitempty"` // of the difference
	By       Change      `json:"by"`
	Visits   int         `json:"visits"` // that were compared, this one with them
	Slope    float64     `json:"slope_per_year,omitempty"`
	Meets    *time.Time  `json:"meets_limit,omitempty"`
	Limit    *site.Limit `json:"limit,omitempty"`
}

// findWorse lists what got worse and limits the result: a limitation for each detector, and one for the supply.
// What has failed is a defect already.
func (a *Assessment) findWorse() {
	if a.since == nil {
		return
	}
	holds := map[string]bool{}
	for _, d := range a.detectors {
		holds[d.Outcome.Step().ID] = d.Verdict.Proves()
	}
	supply, read, passes := []Worsened(nil), "", true
	for i := 0; i < len(a.since.Lines); {
		l := a.since.Lines[i]
		var of []Worsened
		for ; i < len(a.since.Lines) && sameSubject(a.since.Lines[i], l); i++ {
			each := a.since.Lines[i]
			if !each.Limiting || each.Detector == nil && a.toldAlready(each) {
				continue
			}
			of = append(of, each.worsened())
			if each.Detector == nil {
				read, passes = each.Step, passes && a.passes(each)
			}
		}
		switch {
		case l.Detector == nil:
			supply = append(supply, of...)
		case len(of) > 0 && holds[l.Step]:
			a.limit(Finding{Step: l.Step, Subject: Subject{Detector: l.Detector}, What: GotWorse{of, true}})
		}
	}
	if len(supply) > 0 {
		a.limit(Finding{Step: read, Subject: Subject{Part: PartSupply}, What: GotWorse{supply, passes}})
	}
}

// toldAlready adds what got worse to the finding that there is of the same quantity: one fact is told once, with one
// remedy. It tells whether there is one.
func (a *Assessment) toldAlready(l SinceLine) bool {
	for _, list := range [][]Finding{a.findings, a.limitations} {
		for i := range list {
			if list[i].of(l) {
				list[i].Since = append(list[i].Since, l.worsened())
				return true
			}
		}
	}
	return false
}

// of tells whether a finding is about what a line compares.
func (f Finding) of(l SinceLine) bool {
	switch what := f.What.(type) {
	case ComputedSo:
		_, internal := what.Row.(InternalRow)
		return internal && l.Of == InternalSince
	case ReadingOutside, ReadingUndecided:
		return l.Of != InternalSince && f.Step == l.Step
	}
	return false
}

// passes tells whether what a line compares was shown to hold in this visit.
func (a *Assessment) passes(l SinceLine) bool {
	if l.Of == InternalSince {
		return slices.ContainsFunc(a.computed, func(c Computed) bool {
			_, is := c.Row.(InternalRow)
			return is && c.Ruling == checks.Pass
		})
	}
	return slices.ContainsFunc(a.readings, func(r ReadingLine) bool {
		return r.Outcome.Step().ID == l.Step && r.Taken && r.Decision.Ruling == checks.Pass
	})
}

func sameSubject(a, b SinceLine) bool {
	return (a.Detector == nil) == (b.Detector == nil) && (a.Detector == nil || a.Step == b.Step)
}

func (l SinceLine) worsened() Worsened {
	w := Worsened{Of: l.Of, Unit: l.Unit, After: l.After, Then: l.Then().Value, At: l.Then().At, Now: l.Now().Value,
		By:     l.Change,
		Visits: len(l.Points), Meets: l.Meets}
	if l.Two != nil && l.Change == WorseByStep {
		w.Expanded = l.Two.Expanded
	}
	if l.Change == WorseByAll {
		w.Then, w.At = l.Points[0].Value, l.Points[0].At
	}
	if l.Meets != nil || l.Change == WorseByAll {
		w.Slope, w.Limit = l.Trend.Slope, l.Limit
	}
	return w
}
