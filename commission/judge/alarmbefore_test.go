package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// received goes on from an intrusion to the sounder, to unsetting some time later, and to the receipt of the alarm on
// a path by the centre's clock.
func (s *story) received(path, came string, unset time.Duration) {
	const id = programme.IDAlarmIntrusion
	s.tell(time.Second, moment(id, record.OutputOn, "Sounder"), moment(id, record.ToUnset), unset, moment(id, record.Unset),
		moment(id, record.AllAtRest), answer(id, record.Done), moment(path, record.ToBegin), moment(path, record.CentreClock))
	s.tell(record.Received{Step: path, Clock: s.centre(0), Time: came})
}

// A receipt before the alarm is never within; one that may have come at once is.
func TestAReceiptBeforeTheAlarm(t *testing.T) {
	const id, path, second = programme.IDAlarmIntrusion, "alarm/path-1", time.Second
	for ago, want := range map[time.Duration]checks.Ruling{-18 * second: checks.Undecided, 0: checks.Pass,
		5 * second: checks.Pass, 45 * second: checks.Fail} {
		s := begin(t, "monitoring: {centre: none}", "monitoring: {centre: Northmoor, paths: [{name: lan, within: 30 s}]}")
		s.tell(moment(id, record.ToBegin), moment(id, record.ToIntrude, "1.1"), second, moment(id, record.Intruded, "1.1"))
		s.received(path, s.centre(ago), 60*second)
		a := Assess(s.record)
		assert.Equal(t, want, a.alarmLine(s.record.Find(path)).Rows[0].Ruling, ago)
		assert.Equal(t, ago < 0, len(saysOf(a.Limitations(), ReceiptBefore{})) == 1, ago)
	}
}

// What came before a step began is none of its rows; that of afterwards stands there.
func TestWhatCameBeforeAnAlarm(t *testing.T) {
	const id, enter, second = programme.IDAlarmIntrusion, programme.IDAlarmEntry, time.Second
	tells := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7, Tells: signal.Aspects}
	told := func(a signal.Aspect, present bool) signal.System { return signal.System{Aspect: a, Present: present} }
	for name, c := range map[string]struct {
		step  string
		facts []any
		want  []record.Instant
	}{
		"unset, and set again": {id, []any{told(signal.Set, false), second, told(signal.Set, true),
			moment(id, record.ToIntrude, "1.1"), 4 * second, moment(id, record.Intruded, "1.1"), second, told(signal.Alarm, true),
			second, moment(id, record.ToUnset), told(signal.Set, false), told(signal.Alarm, false)},
			[]record.Instant{record.Intruded, record.Alarmed, record.Unset, record.AlarmOver}},
		"an alarm as the key was late": {id, []any{moment(id, record.ToIntrude, "1.1"), second,
			told(signal.Alarm, true), second, moment(id, record.Intruded, "1.1")}, []record.Instant{record.Alarmed, record.Intruded}},
		"an alarm before it": {id, []any{told(signal.Alarm, true), second, moment(id, record.ToIntrude, "1.1"), second,
			moment(id, record.Intruded, "1.1")}, []record.Instant{record.Intruded}},
		"unset twice": {enter, []any{moment(enter, record.ToEnter), told(signal.Set, false), second, told(signal.Set, true),
			second, moment(enter, record.EntryOpened), second, told(signal.Set, false)},
			[]record.Instant{record.EntryOpened, record.Unset}},
	} {
		s := begin(t)
		s.tell(append(append([]any{tells, moment(c.step, record.ToBegin)}, c.facts...), answer(c.step, record.Done))...)
		var got []record.Instant
		for _, row := range Assess(s.record).alarmLine(s.record.Find(c.step)).Rows {
			got = append(got, row.What)
		}
		assert.Equal(t, c.want, got, name)
	}
}
