package record

import (
	"slices"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

// The laws of an alarm from end to end.
const (
	// LawAlarmStep: a moment belongs to a step of an alarm that was begun in this run.
	LawAlarmStep Law = "alarm-step"
	// LawMomentAfterCue: nothing comes before the technician was told to do it.
	LawMomentAfterCue Law = "moment-after-cue"
	// LawReceipt: what the centre says is a time of day, or that nothing came.
	LawReceipt Law = "receipt"
	// LawAlarmOrder: what follows from something comes after it.
	LawAlarmOrder Law = "alarm-order"
	// LawAlarmThere: a step of an alarm is answered after it was taken, and a receipt after an alarm.
	LawAlarmThere Law = "alarm-there"
)

var alarmLaws = []rule{
	{law: LawAlarmStep, consequence: Refused},
	{law: LawMomentAfterCue, consequence: Refused},
	{law: LawReceipt, consequence: Refused},
	{law: LawAlarmOrder, consequence: Limits, end: (*Record).outOfOrder},
	{law: LawAlarmThere, consequence: Limits, entry: (*Record).withoutAlarm},
}

// follows are keys' instants that cannot come before others of the same attempt.
var follows = map[Instant]Instant{SystemSet: Setting, OutputOn: Intruded, OutputOff: OutputOn}

// outOfOrder are the entries of what came before that which it follows from, or without it.
// What the controller tells may come in any order.
func (r *Record) outOfOrder() (entries []int) {
	for _, o := range r.outcomes {
		for _, a := range o.alarms {
			for _, t := range a.instants {
				before, has := follows[t.What]
				if !has || t.By != ByKey || t.Never || o.step.Kind != programme.StepSetting && t.What == SystemSet {
					continue
				}
				first, is := a.First(before, func(b Timed) bool { return before != OutputOn || b.Output == t.Output })
				if !is || first.Never || first.Elapsed > t.Elapsed+first.Uncertainty+t.Uncertainty {
					entries = append(entries, t.Entry)
				}
			}
		}
	}
	return entries
}

// neededFor are instants without one of which a step of an alarm was not taken to its end.
var neededFor = map[programme.StepKind][]Instant{
	programme.StepSetting:   {SystemSet},
	programme.StepEntry:     {Unset},
	programme.StepIntrusion: {AllAtRest},
}

// withoutAlarm tells whether a step is answered as done that was not taken, or a receipt
// where there was no alarm.
func (r *Record) withoutAlarm(_ journal.Entry, f Fact) bool {
	switch f := f.(type) {
	case Answer:
		o := r.index[f.Step]
		if o == nil || f.Result != Done || neededFor[o.step.Kind] == nil {
			return false
		}
		a, at := r.Alarm()
		return at != o || !slices.ContainsFunc(neededFor[o.step.Kind],
			func(what Instant) bool { _, is := a.First(what, nil); return is })
	case Received:
		o := r.index[programme.IDAlarmIntrusion]
		return o == nil || !slices.ContainsFunc(o.alarms, (*Alarm).Done)
	}
	return false
}
