package dryrun

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// answersFault puts an answer about a fault of the supply before the names.
func (f *Forged) answersFault(step string, result record.Result) {
	f.Insert(f.Of("signed")[0], 0, record.Answer{Step: step, Result: result})
}

// noBattery takes out that the battery was disconnected, and what was told of it.
func (f *Forged) noBattery() {
	f.Remove(f.Where("system", "aspect", string(signal.BatteryFault))...)
	f.Remove(f.last("answer", "step", programme.IDBatteryOff))
	f.Remove(f.last("answer", "step", programme.IDBatteryOn))
}

var faultForgeries = []Forgery{
	{"a battery fault seen of a battery that was never disconnected", record.LawFaultCause, func(f *Forged) {
		f.noBattery()
		f.answersFault(programme.IDBatteryFault, record.AtController)
	}},
	{"mains failure seen while mains was removed", record.LawFaultCause, func(f *Forged) {
		f.Insert(f.last("answer", "step", programme.IDMainsOn), 0,
			record.Answer{Step: programme.IDMainsFault, Result: record.NotSeen})
	}},
	{"mains failure seen by a person, where the controller tells it", record.LawFaultAsked, func(f *Forged) {
		f.answersFault(programme.IDMainsFault, record.AtCentre)
	}},
	{"mains failure as told by a controller that tells nothing of it", record.LawFaultAsked, func(f *Forged) {
		f.Remove(f.Of("system")...)
		f.heardBy(listenedToMQTT)
		f.answersFault(programme.IDMainsFault, record.AsTold)
	}},
	{"mains removed while the battery is disconnected", record.LawBatteryInTurn, func(f *Forged) {
		f.Remove(f.last("answer", "step", programme.IDBatteryOn))
	}},
	{"a battery disconnected while mains is removed", record.LawBatteryInTurn, func(f *Forged) {
		f.Insert(f.last("answer", "step", programme.IDMainsOn), 0,
			record.Answer{Step: programme.IDBatteryOff, Result: record.Done})
	}},
	{"mains failure that is cleared before it is reported", record.LawSignedLast, func(f *Forged) {
		at := f.Where("system", "aspect", string(signal.MainsFault))
		reported, cleared := at[len(at)-2], at[len(at)-1]
		Edit(f, reported, func(s *signal.System) { s.Present = false })
		Edit(f, cleared, func(s *signal.System) { s.Present = true })
	}},
	{"a battery fault that is never told", record.LawSignedLast, func(f *Forged) {
		f.Remove(f.Where("system", "aspect", string(signal.BatteryFault))...)
	}},
	{"a battery that is disconnected when the visit is signed", record.LawSignedLast, func(f *Forged) {
		f.Remove(f.last("answer", "step", programme.IDBatteryOn))
	}},
}
