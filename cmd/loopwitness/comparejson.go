package main

import (
	"time"

	"loopwitness/commission/judge"
)

// comparison is what compare prints as JSON. Keys name their unit.
type comparison struct {
	Visits    []comparedJSON   `json:"visits"` // by when they were begun; the last is held against the others
	Lines     []map[string]any `json:"lines"`
	Compared  int              `json:"compared"`
	Trends    int              `json:"trends"`
	ByChance  float64          `json:"expected_by_chance"`
	NextDue   string           `json:"next_due"`
	NextGiven bool             `json:"next_due_declared"`
}

type comparedJSON struct {
	Named       string        `json:"named"`
	Number      string        `json:"number"`
	Kind        string        `json:"kind"`
	Begun       time.Time     `json:"begun"`
	Company     string        `json:"company"`
	Technician  string        `json:"technician,omitempty"`
	Record      string        `json:"record_sha256"`
	Simulated   bool          `json:"simulated"`
	NotCompared string        `json:"not_compared,omitempty"`
	Seal        *comparedSeal `json:"seal"` // null for a visit of the job's folder
}

type comparedSeal struct {
	Outcome  string `json:"outcome"`
	SignedBy string `json:"signed_by,omitempty"`
	Key      string `json:"key_sha256,omitempty"`
	Trusted  bool   `json:"trusted"`
}

func comparisonOf(all []comparedVisit, since *judge.Since) comparison {
	out := comparison{Lines: []map[string]any{}, Compared: since.Compared, Trends: since.Trends, ByChance: since.ByChance,
		NextDue: since.NextDue.Format(time.DateOnly), NextGiven: !since.NextAssumed}
	for i, v := range all {
		c := comparedJSON{Named: v.named, Number: v.then.Number, Kind: string(v.then.Visit), Begun: v.then.Begun,
			Company:    v.then.Company,
			Technician: v.then.Technician, Record: v.then.Journal, Simulated: v.then.Simulated}
		if n := i - since.Before; n >= 0 && n < len(since.Visits) {
			c.NotCompared = string(since.Visits[n].Why)
		}
		if r := v.report; r != nil {
			c.Seal = &comparedSeal{Outcome: string(r.Outcome)}
			if r.Signature != nil {
				c.Seal.SignedBy, c.Seal.Key, c.Seal.Trusted = r.Signature.Name, r.Signature.Fingerprint, r.Signature.Trust.Trusted
			}
		}
		out.Visits = append(out.Visits, c)
	}
	for _, l := range since.Lines {
		out.Lines = append(out.Lines, lineJSON(l))
	}
	return out
}

var unitsInKeys = map[string]string{"s": "second", "V": "volt", "ohm": "ohm"}

// lineJSON has what there is of a line.
func lineJSON(l judge.SinceLine) map[string]any {
	unit := unitsInKeys[l.Of.Unit()]
	out := map[string]any{"of": string(l.Of), "step": l.Step, "visits": len(l.Points)}
	if l.Detector != nil {
		out["point"], out["detector"] = l.Detector.Point, l.Detector.Name
	}
	if l.After > 0 {
		out["after_second"] = l.After
	}
	if l.Limit != nil {
		out["limit_"+unit], out["limit_declared"] = l.Limit.SI, l.Limit.Declared()
	}
	if l.Why != "" {
		out["not_compared"] = string(l.Why)
	}
	if l.Latest != "" {
		out["latest_not_compared"] = string(l.Latest)
	}
	if now := l.Now(); now != nil {
		out["now_"+unit], out["now_uncertainty_"+unit] = now.Value, now.Expanded
	}
	if then := l.Then(); then != nil {
		out["then_"+unit], out["then_uncertainty_"+unit], out["then_begun"] = then.Value, then.Expanded, then.At
		out["change"] = string(l.Change)
	}
	if l.Two != nil {
		out["difference_"+unit], out["difference_uncertainty_"+unit] = l.Two.Difference, l.Two.Expanded
		out["en"], out["difference_p_one_sided"] = l.Two.En, l.Two.OneSided
	}
	if t := l.Trend; t != nil {
		out["s"], out["trend_p_one_sided"], out["trend_p_exact"] = t.S, t.OneSided, t.Exact
		out["slope_"+unit+"_per_year"], out["slope_low_"+unit+"_per_year"], out["slope_high_"+unit+"_per_year"] = t.Slope,
			t.Low, t.High
	}
	if l.Meets != nil {
		out["meets_limit_on"] = l.Meets.Format(time.DateOnly)
	}
	return out
}
