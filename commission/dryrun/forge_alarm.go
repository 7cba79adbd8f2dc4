package dryrun

import (
	"slices"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// raised tells of an intrusion before the names, as keys told it, with a change of its facts.
// A visit whose programme has no alarm gets one; what it told of another is forgotten.
func raised(change func([]record.Fact) []record.Fact) func(*Forged) {
	return func(f *Forged) {
		Edit(f, 0, func(o *record.Opened) {
			s, err := site.Read("site.yaml", []byte(o.Site))
			if err != nil {
				panic(err)
			}
			o.Programme = slices.DeleteFunc(o.Programme, inAlarm)
			behind := slices.IndexFunc(o.Programme, func(s programme.Step) bool { return s.Stage == programme.StageHandOver })
			o.Programme = slices.Insert(o.Programme, behind,
				slices.DeleteFunc(programme.Of(s, programme.Checklist{}), func(s programme.Step) bool { return !inAlarm(s) })...)
		})
		f.Remove(f.stepsOf("alarm/")...)
		const id = programme.IDAlarmIntrusion
		at := f.Of("signed")[0]
		for i, fact := range change([]record.Fact{
			record.Moment{Step: id, What: record.ToBegin}, record.Moment{Step: id, What: record.ToIntrude, Point: "1.1"},
			record.Moment{Step: id, What: record.Intruded, Point: "1.1"},
			record.Moment{Step: id, What: record.OutputOn, Output: "Sounder"},
			record.Moment{Step: id, What: record.ToUnset}, record.Moment{Step: id, What: record.Unset},
			record.Moment{Step: id, What: record.AllAtRest}, record.Answer{Step: id, Result: record.Done},
			record.Received{Step: "alarm/path-1", Time: "09:30:12"}}) {
			f.Insert(at+i, time.Second, fact)
			f.Shift(at+i+1, time.Second)
		}
	}
}

func inAlarm(s programme.Step) bool { return s.Stage == programme.StageAlarm }

// but leaves out some of the facts, by their places.
func but(places ...int) func([]record.Fact) []record.Fact {
	return func(facts []record.Fact) []record.Fact {
		for _, i := range slices.Backward(places) {
			facts = slices.Delete(facts, i, i+1)
		}
		return facts
	}
}

var alarmForgeries = []Forgery{
	{"moments of an alarm that nobody began", record.LawAlarmStep, raised(but(0))},
	{"a sounder of its own before the intrusion", record.LawAlarmOrder,
		raised(func(facts []record.Fact) []record.Fact { facts[2], facts[3] = facts[3], facts[2]; return facts })},
	{"an intrusion that nobody was told to do", record.LawMomentAfterCue, raised(but(1))},
	{"an alarm that is answered and was not", record.LawAlarmThere, raised(but(0, 1, 2, 3, 4, 5, 6))},
	{"a receipt of no alarm", record.LawAlarmThere, raised(func(facts []record.Fact) []record.Fact { return facts[8:] })},
	{"a receipt at no time", record.LawReceipt, raised(func(facts []record.Fact) []record.Fact {
		facts[8] = record.Received{Step: "alarm/path-1", Time: "promptly"}
		return facts
	})},
	{"a centre's clock that nobody asked for", record.LawReceipt, raised(func(facts []record.Fact) []record.Fact {
		facts[8] = record.Received{Step: "alarm/path-1", Time: "09:30:12", Clock: "09:30:13"}
		return facts
	})},
}
