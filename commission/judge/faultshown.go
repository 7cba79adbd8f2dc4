package judge

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// FaultShown is what was shown of how a fault of the supply is reported.
type FaultShown string

// What may be shown. Nothing decides on it but findings.
const (
	FaultReported   FaultShown = "reported and cleared"
	FaultNotCleared FaultShown = "not cleared"
	FaultNever      FaultShown = "never reported"
	FaultTooLate    FaultShown = "late"
	FaultUnclear    FaultShown = "undecided"
	FaultUnseen     FaultShown = "not seen"
	FaultNotTested  FaultShown = "not tested"
)

// Code names it.
func (s FaultShown) Code() string { return "fault/" + string(s) }

// Shown is what was shown.
func (l FaultLine) Shown() FaultShown {
	switch l.Outcome.Result() {
	case record.NotSeen:
		return FaultUnseen
	case record.NotCleared:
		return FaultNotCleared
	case record.AtController, record.AtCentre:
		return FaultReported
	case record.LeftOut:
		return FaultNotTested
	}
	s := l.Signal
	switch {
	case s == nil || !s.Told || !l.Outcome.Concluded():
		return FaultNotTested
	case s.Before:
		return FaultUnclear
	case s.Reported == nil:
		return FaultNever
	case l.Decision.Ruling == checks.Fail:
		return FaultTooLate
	case s.Cleared == nil:
		return FaultNotCleared
	case l.Decision.Ruling == checks.Undecided, s.Lapsed:
		return FaultUnclear
	}
	return FaultReported
}

// JudgedFault is what was shown of a fault of the supply.
type JudgedFault struct {
	Step     string         `json:"step"`
	Aspect   signal.Aspect  `json:"aspect"`
	Shown    FaultShown     `json:"shown"`
	Reported *time.Duration `json:"reported_nanosecond,omitempty"` // after its cause
	Cleared  *time.Duration `json:"cleared_nanosecond,omitempty"`  // after the end of its cause
	Limit    site.Limit     `json:"limit_second"`
	Verdict  checks.Ruling  `json:"verdict,omitempty"` // of the time until it was reported
}

func (a *Assessment) judgedFaults() []JudgedFault {
	all := []JudgedFault{}
	for _, l := range a.faults {
		j := JudgedFault{Step: l.Outcome.Step().ID, Aspect: l.Aspect, Shown: l.Shown(), Limit: l.Limit,
			Verdict: l.Decision.Ruling}
		if s := l.Signal; s != nil {
			j.Reported, j.Cleared = since(s.Reported), since(s.Cleared)
		}
		all = append(all, j)
	}
	return all
}

func since(n *record.Noticed) *time.Duration {
	if n == nil {
		return nil
	}
	return &n.After
}
