package judge

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// moment is one of a step of an alarm.
func moment(step string, what record.Instant, of ...string) record.Moment {
	m := record.Moment{Step: step, What: what}
	for _, one := range of {
		if what == record.OutputOn || what == record.OutputOff {
			m.Output = one
		} else {
			m.Point = site.Point(one)
		}
	}
	return m
}

// wellAlarmed is a step of an alarm in which all came in time, as keys told it.
func (s *story) wellAlarmed(step programme.Step) []any {
	id, second := step.ID, time.Second
	facts := []any{moment(id, record.ToBegin)}
	switch step.Kind {
	case programme.StepSetting:
		return append(facts, moment(id, record.ToSet), second, moment(id, record.Setting), 20*second,
			moment(id, record.SystemSet), answer(id, record.Done))
	case programme.StepEntry:
		return append(facts, moment(id, record.ToEnter), second, moment(id, record.EntryOpened), 9*second,
			moment(id, record.Unset), answer(id, record.Done))
	case programme.StepReceipt:
		return append(facts, second, moment(id, record.CentreClock), second,
			record.Received{Step: id, Clock: s.centre(second), Time: s.centre(-4 * second), Reference: "77"})
	}
	facts = append(facts, moment(id, record.ToIntrude, "1.1"), second, moment(id, record.Intruded, "1.1"))
	for _, o := range s.record.Site().AlarmOutputs() {
		facts = append(facts, second, moment(id, record.OutputOn, o.Name))
	}
	return append(facts, moment(id, record.ToUnset), 4*second, moment(id, record.Unset), second,
		moment(id, record.AllAtRest), answer(id, record.Done))
}

// centre is what a centre's clock that goes as ours shows so long after now.
func (s *story) centre(after time.Duration) string { return s.clock().Add(after).Format(time.TimeOnly) }

// alarms tells of all open steps of an alarm that all came in time.
func (s *story) alarms() {
	for _, o := range s.record.Outcomes() {
		if o.Step().Stage == programme.StageAlarm && !o.Concluded() {
			s.tell(s.wellAlarmed(o.Step())...)
		}
	}
}
