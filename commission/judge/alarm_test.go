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

// What a step of an alarm does not show limits it, and what failed in it stays, whatever was
// begun after that.
func TestWhatAnAlarmDoesNotShow(t *testing.T) {
	const set, enter, id, second = programme.IDAlarmSetting, programme.IDAlarmEntry, programme.IDAlarmIntrusion, time.Second
	tells := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7, Tells: signal.Aspects}
	told := func(a signal.Aspect, present bool) signal.System { return signal.System{Aspect: a, Present: present} }
	never := moment(id, record.OutputOn, "Sounder")
	never.Never = true
	raised := func(before ...any) []any {
		return append(
			append([]any{tells, moment(id, record.ToBegin)}, before...),
			moment(id, record.ToIntrude, "1.1"),
			second,
			moment(id, record.Intruded, "1.1"),
			second,
		)
	}
	ends := []any{
		moment(id, record.OutputOn, "Sounder"),
		second,
		moment(id, record.ToUnset),
		second,
		told(signal.Set, false),
		second,
		moment(id, record.AllAtRest),
		answer(id, record.Done),
	}
	silent := []any{
		moment(id, record.ToBegin),
		moment(id, record.ToIntrude, "1.1"),
		second,
		moment(id, record.Intruded, "1.1"),
		8 * second,
		never,
	}
	for name, c := range map[string]struct {
		step  string
		facts []any
		codes []string
	}{
		"set, and when that began is not known": {set, []any{tells, moment(set, record.ToBegin), moment(set, record.ToSet),
			90 * second, told(signal.Set, true), answer(set, record.Done)}, []string{"alarm-not-timed"}},
		"set by a key, where the controller tells it": {set, []any{tells, moment(set, record.ToBegin),
			moment(set, record.ToSet), second, moment(set, record.Setting), 20 * second, moment(set, record.SystemSet), answer(set, record.Done)},
			[]string{"alarm-not-reported"}},
		"an alarm before the entry time is over": {enter, []any{tells, moment(enter, record.ToBegin),
			moment(enter, record.ToEnter), second, moment(enter, record.EntryOpened), 9 * second, told(signal.Alarm, true),
			6 * second, told(signal.Set, false), answer(enter, record.Done)}, []string{"alarm-early"}},
		"unset before anybody entered": {enter, []any{tells, moment(enter, record.ToBegin), moment(enter, record.ToEnter),
			second, told(signal.Set, false), 20 * second, moment(enter, record.EntryOpened), answer(enter, record.Done)},
			[]string{"alarm-not-timed"}},
		"unset, and nobody entered": {enter, []any{tells, moment(enter, record.ToBegin), moment(enter, record.ToEnter),
			second, told(signal.Set, false), answer(enter, record.Done)}, []string{"alarm-not-timed"}},
		"an alarm after the intrusion": {id, append(append(raised(), told(signal.Alarm, true)), ends...), nil},
		"an alarm before anybody was told to raise one": {id, append(raised(told(signal.Alarm, true), second), ends...),
			[]string{"alarm-not-reported"}},
		"a silent sounder, begun anew and left out": {id, append(silent[:len(silent):len(silent)], second,
			moment(id, record.ToBegin), second, answer(id, record.LeftOut, "late")), []string{"alarm-never", "not-tested"}},
		"a silent sounder, which is well when it is tried again": {id, append(append(silent[:len(silent):len(silent)],
			raised()...), append([]any{told(signal.Alarm, true)}, ends...)...), nil},
	} {
		t.Run(name, func(t *testing.T) {
			s := begin(t)
			s.tell(c.facts...)
			a := Assess(s.record)
			assert.ElementsMatch(t, c.codes, append(s.codes(a.Findings(), c.step), s.codes(a.Limitations(), c.step)...))
		})
	}
}

// Where an alarm takes two detectors, nobody declared which of them the centre is told of: what
// is late from the first and in time from the second is not decided.
func TestAReceiptOfTwoDetectors(t *testing.T) {
	const id, path, second = programme.IDAlarmIntrusion, "alarm/path-1", time.Second
	for _, c := range []struct {
		name    string
		between time.Duration // the detectors
		takes   time.Duration // the message, from the second
		want    checks.Ruling
	}{
		{"in time from the first", 10 * second, 5 * second, checks.Pass},
		{"late from the first only", 60 * second, 5 * second, checks.Undecided},
		{"late from both", 10 * second, 60 * second, checks.Fail},
	} {
		s := begin(t, "monitoring: {centre: none}", "monitoring: {centre: Northmoor, paths: [{name: lan, within: 30 s}]}",
			"setting: {", `setting: {confirmed: "yes", `)
		s.tell(moment(id, record.ToBegin), moment(id, record.ToIntrude, "1.1"), second, moment(id, record.Intruded, "1.1"),
			moment(id, record.ToIntrude, "2.1"), c.between, moment(id, record.Intruded, "2.1"))
		s.received(path, s.centre(c.takes), 90*second)
		assert.Equal(t, c.want, Assess(s.record).alarmLine(s.record.Find(path)).Rows[0].Ruling, c.name)
	}
}

// What never came is held against no time, and an output that stops by itself against its
// declared time alone; a sounder that is silent at first and sounds after all is told as both.
func TestRowsOfASounder(t *testing.T) {
	const id, second = programme.IDAlarmIntrusion, time.Second
	never := moment(id, record.OutputOn, "Sounder")
	never.Never = true
	on, off := moment(id, record.OutputOn, "Sounder"), moment(id, record.OutputOff, "Sounder")
	type held struct {
		what   record.Instant
		never  bool
		limit  string
		ruling checks.Ruling
	}
	for name, c := range map[string]struct {
		changes []string
		facts   []any
		want    []held
	}{
		"never": {nil, []any{8 * second, never}, []held{{record.OutputOn, true, "", ""}}},
		"never, and after all": {nil, []any{8 * second, never, second, on},
			[]held{{record.OutputOn, true, "", ""}, {record.OutputOn, false, "5 s", checks.Fail}}},
		"off when it should be": {nil, []any{second, on, 15 * time.Minute, off},
			[]held{{record.OutputOn, false, "5 s", checks.Pass}, {record.OutputOff, false, "15 min", checks.Pass}}},
		"off, and nobody declared when": {[]string{"    cut_off: 15 min\n", ""}, []any{second, on, 15 * time.Minute, off},
			[]held{{record.OutputOn, false, "5 s", checks.Pass}, {record.OutputOff, false, "", ""}}},
	} {
		t.Run(name, func(t *testing.T) {
			s := begin(t, c.changes...)
			s.tell(moment(id, record.ToBegin), moment(id, record.ToIntrude, "1.1"), second, moment(id, record.Intruded, "1.1"))
			s.tell(c.facts...)
			s.tell(moment(id, record.ToUnset), second, moment(id, record.Unset), second, moment(id, record.AllAtRest),
				answer(id, record.Done))
			var got []held
			for _, row := range Assess(s.record).alarmLine(s.record.Find(id)).Rows {
				if row.What == record.OutputOn || row.What == record.OutputOff {
					got = append(got, held{row.What, row.Never, row.Limit, row.Ruling})
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}
