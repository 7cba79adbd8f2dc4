package judge

import (
	"time"

	"loopwitness/commission/site"
)

// GotWorse is what got worse since earlier visits, limits the result, and holds still.
type GotWorse struct {
	Of []Worsened `json:"of"`
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
	var supply []Worsened
	var read string
	for i := 0; i < len(a.since.Lines); {
		l := a.since.Lines[i]
		var of []Worsened
		for ; i < len(a.since.Lines) && sameSubject(a.since.Lines[i], l); i++ {
			if each := a.since.Lines[i]; each.Limiting {
				of, read = append(of, each.worsened()), each.Step
			}
		}
		switch {
		case l.Detector == nil:
			supply = append(supply, of...)
		case len(of) > 0 && holds[l.Step]:
			a.limit(Finding{Step: l.Step, Subject: Subject{Detector: l.Detector}, What: GotWorse{of}})
		}
	}
	if len(supply) > 0 {
		a.limit(Finding{Step: read, Subject: Subject{Part: PartSupply}, What: GotWorse{supply}})
	}
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
