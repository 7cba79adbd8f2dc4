package judge

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// FaultLimit is what the site file says of how soon a fault of the supply is reported; its
// zero value for nothing.
func FaultLimit(s *site.Site, a signal.Aspect) site.Limit {
	return s.Limits.OfFault(a == signal.BatteryFault)
}

// What may be the matter with how a fault of the supply is reported.
type (
	// FaultSilent is one that the controller tells, and did not while its cause lasted.
	FaultSilent struct {
		Aspect signal.Aspect `json:"aspect"`
		Lasted time.Duration `json:"lasted_nanosecond"` // what was watched
		// Short tells that it was not waited for long enough, Cut that the report may have been
		// missed, Open that nobody declared within what time it has to be: then it limits only.
		Short bool `json:"short,omitempty"`
		Cut   bool `json:"cut,omitempty"`
		Open  bool `json:"no_limit_declared,omitempty"`
	}
	// FaultLate is one that was reported after its limit.
	FaultLate struct {
		Aspect signal.Aspect `json:"aspect"`
		After  time.Duration `json:"after_nanosecond"`
		Limit  site.Limit    `json:"limit"`
	}
	// FaultUndecided is one that was reported near its limit, or at a time not known better.
	FaultUndecided struct {
		Aspect signal.Aspect `json:"aspect"`
		AtMost time.Duration `json:"at_most_nanosecond"`
		Limit  site.Limit    `json:"limit"`
	}
	// FaultBefore is one that was reported before it had a cause.
	FaultBefore struct {
		Aspect signal.Aspect `json:"aspect"`
	}
	// FaultStays is one that was not cleared in the time for which that was watched after its
	// cause had ended; zero where a person saw it.
	FaultStays struct {
		Aspect signal.Aspect `json:"aspect"`
		Since  time.Duration `json:"since_nanosecond,omitempty"`
	}
	// FaultLapsed is one that was told to be gone while its cause lasted.
	FaultLapsed struct {
		Aspect signal.Aspect `json:"aspect"`
	}
	// FaultNotSeen is one that nobody saw reported, where the controller tells nothing of it.
	// Waited is for how long its cause lasted, where that was long enough: a technician who
	// waited so long, and says that it was seen nowhere, has seen a defect; 0 where it was not.
	FaultNotSeen struct {
		Aspect signal.Aspect `json:"aspect"`
		Waited time.Duration `json:"waited_nanosecond,omitempty"`
	}
	// BatteryStillOff is a battery that is disconnected when the visit ends.
	BatteryStillOff struct{}
	// NotChargingSeen is a battery of which the indication says that it does not charge.
	NotChargingSeen struct{}
	// ChargingSeen is a battery whose charging was seen by an indication, and not measured.
	ChargingSeen struct{}
)

// Code names the statement.
func (FaultSilent) Code() string     { return "fault-silent" }
func (FaultLate) Code() string       { return "fault-late" }
func (FaultUndecided) Code() string  { return "fault-undecided" }
func (FaultBefore) Code() string     { return "fault-before" }
func (FaultStays) Code() string      { return "fault-stays" }
func (FaultLapsed) Code() string     { return "fault-lapsed" }
func (FaultNotSeen) Code() string    { return "fault-not-seen" }
func (BatteryStillOff) Code() string { return "battery-still-off" }
func (NotChargingSeen) Code() string { return "not-charging-seen" }
func (ChargingSeen) Code() string    { return "charging-seen" }

// FaultLine is what became of a fault of the supply.
type FaultLine struct {
	Outcome  *record.Outcome
	Aspect   signal.Aspect
	Signal   *record.FaultSignal // nil where its cause was never made, or not ended
	Limit    site.Limit          // its zero value for none
	Decision checks.Decision     // of the time until it was reported; empty without a limit
}

func faultLine(r *record.Record, s *record.Outcome) FaultLine {
	line := FaultLine{Outcome: s, Aspect: s.Step().Aspect(), Limit: FaultLimit(r.Site(), s.Step().Aspect())}
	f, made := r.FaultSignal(line.Aspect)
	if !made || f.Ended.IsZero() {
		return line
	}
	line.Signal = &f
	if f.Reported == nil || !line.Limit.Declared() {
		return line
	}
	line.Decision = line.decide()
	return line
}

// decide holds the time until the report against its limit. It is known to what a person
// takes to say that it was done, and no better than what was watched of it.
func (l FaultLine) decide() checks.Decision {
	n := l.Signal.Reported
	least, most := n.After-record.FaultActWithin, n.AtMost+record.FaultActWithin
	if n.Kept {
		least = 0
	}
	if n.Early {
		least, most = 0, record.BeforeSaid
	}
	middle, half := (least+most)/2, (most-least)/2
	d, err := checks.Decide(middle.Seconds(), half.Seconds(), checks.AtMost(l.Limit.SI))
	if err != nil {
		d.Ruling = checks.Undecided
	}
	return d
}

// needs is how long the cause of a fault has to last until silence tells anything. It is a
// defect of what the controller tells by a declared limit only: longWithoutLimit is ours.
func (l FaultLine) needs() time.Duration {
	if l.Limit.Declared() {
		return l.Limit.Duration() + record.FaultActWithin
	}
	return longWithoutLimit
}

// Unsure tells that a silence is no defect: it was too short, a report may have been missed,
// or nobody declared within what time the fault has to be reported.
func (l FaultLine) Unsure() bool {
	return l.Signal.Lasted < l.needs() || l.Signal.Cut || !l.Limit.Declared()
}

// findFault lists what is the matter with one.
func (a *Assessment) findFault(l FaultLine) {
	f := Finding{Step: l.Outcome.Step().ID, Subject: Subject{Part: PartSupply}, Because: l.Outcome.Remark(),
		Noted: l.Outcome.Notes()}
	switch l.Outcome.Result() {
	case record.NotSeen:
		if l.Signal != nil && l.Signal.Lasted >= l.needs() {
			f.What = FaultNotSeen{l.Aspect, l.Signal.Lasted.Round(time.Second)}
			a.defect(f)
			return
		}
		f.What = FaultNotSeen{Aspect: l.Aspect}
		a.limit(f)
		return
	case record.NotCleared:
		f.What = FaultStays{Aspect: l.Aspect}
		a.defect(f)
		return
	case record.AtController, record.AtCentre:
		a.findSeenLate(l, f)
		return
	}
	told := l.Signal != nil && l.Signal.Told
	if !told || !l.Outcome.Concluded() || l.Outcome.Result() == record.LeftOut {
		f.What = NotDone{programme.NameOf(a.record.Site(), l.Outcome.Step())}
		a.limit(f)
		return
	}
	a.findReported(l, f)
	a.findCleared(l, f)
}

// findSeenLate lists a fault of which a person says that it was reported, but not when, where its
// cause lasted for longer than the declared limit: it may have come after that.
func (a *Assessment) findSeenLate(l FaultLine, f Finding) {
	if l.Signal == nil || !l.Limit.Declared() || l.Signal.Lasted+record.FaultActWithin <= l.Limit.Duration() {
		return
	}
	f.What = FaultUndecided{l.Aspect, l.Signal.Lasted.Round(time.Second), l.Limit}
	a.limit(f)
}

// longWithoutLimit is how long the cause of a fault has to last until silence tells anything,
// where no limit is declared (*common practice, no source*).
const longWithoutLimit = 10 * time.Minute

func (a *Assessment) findReported(l FaultLine, f Finding) {
	s := l.Signal
	switch {
	case s.Before:
		f.What = FaultBefore{l.Aspect}
		a.limit(f)
	case s.Reported == nil:
		what := FaultSilent{Aspect: l.Aspect, Lasted: s.Lasted.Round(time.Second), Short: s.Lasted < l.needs(), Cut: s.Cut,
			Open: !l.Limit.Declared()}
		if f.What = what; l.Unsure() {
			a.limit(f)
			return
		}
		a.defect(f)
	case l.Decision.Ruling == checks.Fail:
		f.What = FaultLate{l.Aspect, s.Reported.After, l.Limit}
		a.defect(f)
	case l.Decision.Ruling == checks.Undecided:
		f.What = FaultUndecided{l.Aspect, s.Reported.AtMost, l.Limit}
		a.limit(f)
	}
}

func (a *Assessment) findCleared(l FaultLine, f Finding) {
	switch s := l.Signal; {
	case s.Reported == nil:
	case s.Lapsed:
		f.What = FaultLapsed{l.Aspect}
		a.limit(f)
	case s.Cleared == nil:
		f.What = FaultStays{l.Aspect, s.Since.Round(time.Second)}
		a.limit(f) // how long is only ours to wait
	}
}

// findBattery lists a battery that is left disconnected.
func (a *Assessment) findBattery() {
	if !a.record.BatteryOff().IsZero() {
		a.defect(Finding{Step: programme.IDBatteryOn, Subject: Subject{Part: PartSupply}, What: BatteryStillOff{}})
	}
}

// Faults are what became of faults of the supply.
func (a *Assessment) Faults() []FaultLine { return append([]FaultLine(nil), a.faults...) }
