package extract

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// Fault is whether a fault of the supply was reported by the controller, and cleared.
type Fault struct {
	Fault string `json:"fault" jsonschema:"enum=mains-fault,enum=battery-fault"`
	Shown string `json:"shown" jsonschema:"enum=reported and cleared,enum=not cleared,enum=never reported,enum=late,enum=undecided,enum=not seen,enum=not tested"`
	// Seen is what a person saw, where the controller tells nothing of it.
	Seen           string   `json:"seen,omitempty" jsonschema:"enum=at the controller,enum=at the centre,enum=not cleared,enum=not seen,description=by a person; absent: the controller told it"`
	ReportedSecond *float64 `json:"reported_second,omitempty" jsonschema:"description=after its cause was said to be made"`
	ClearedSecond  *float64 `json:"cleared_second,omitempty" jsonschema:"description=after its cause was said to have ended"`
	LimitSecond    *float64 `json:"limit_second,omitempty" jsonschema:"description=until it is reported\\, as declared"`
	Remark         string   `json:"remark,omitempty"`
}

func faultsOf(a *judge.Assessment) []Fault {
	all := []Fault{}
	for _, l := range a.Faults() {
		f := Fault{Fault: string(l.Aspect), Shown: string(l.Shown()), Remark: l.Outcome.Remark()}
		switch r := l.Outcome.Result(); r {
		case record.AtController, record.AtCentre, record.NotCleared, record.NotSeen:
			f.Seen = string(r)
		}
		if s := l.Signal; s != nil && s.Told {
			f.ReportedSecond, f.ClearedSecond = secondsOf(s.Reported), secondsOf(s.Cleared)
		}
		if l.Limit.Declared() {
			limit := l.Limit.SI
			f.LimitSecond = &limit
		}
		all = append(all, f)
	}
	return all
}

// secondsOf is how long after its cause something was noticed; nothing where that is not known.
func secondsOf(n *record.Noticed) *float64 {
	if n == nil || n.Early || n.Kept {
		return nil
	}
	return seconds(n.After)
}
