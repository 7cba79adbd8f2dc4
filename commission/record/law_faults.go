package record

import (
	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

// The laws of faults of the supply.
const (
	// LawFaultCause: whether a fault was reported is said once its cause was made and ended.
	LawFaultCause Law = "fault-cause"
	// LawFaultAsked: nobody is asked what the controller tells, and what it does not tell is
	// not said to be as it told.
	LawFaultAsked Law = "fault-asked"
	// LawBatteryInTurn: mains is not removed while the battery is disconnected, and the
	// battery not while mains is removed: the system would lose all power.
	LawBatteryInTurn Law = "battery-in-turn"
)

var faultLaws = []rule{
	{law: LawFaultCause, consequence: Limits, entry: on((*Record).faultWithoutCause)},
	{law: LawFaultAsked, consequence: Limits, entry: on((*Record).faultAskedAmiss)},
	{law: LawBatteryInTurn, consequence: Limits,
		entry: func(r *Record, _ journal.Entry, f Fact) bool { return r.withoutPower(f) }},
}

// answersFault tells whether an answer says what became of a fault.
func (r *Record) answersFault(a Answer) (FaultSignal, bool) {
	o := r.index[a.Step]
	if o == nil || o.step.Kind != programme.StepFault || a.Result == LeftOut {
		return FaultSignal{}, false
	}
	f, _ := r.FaultSignal(o.step.Aspect())
	return f, true
}

func (r *Record) faultWithoutCause(a Answer) bool {
	f, is := r.answersFault(a)
	return is && f.Ended.IsZero()
}

func (r *Record) faultAskedAmiss(a Answer) bool {
	f, is := r.answersFault(a)
	return is && f.Told != (a.Result == AsTold)
}

func (r *Record) withoutPower(f Fact) bool {
	a, is := f.(Answer)
	if !is || a.Result != Done {
		return false
	}
	return a.Step == programme.IDMainsOff && !r.batteryOff.IsZero() ||
		a.Step == programme.IDBatteryOff && !r.mainsOff.IsZero()
}
