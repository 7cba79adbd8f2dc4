package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

func started(t *testing.T) *story {
	s := &story{t: t, record: &record.Record{}}
	s.open(honestSite, programme.Handover, builtIn(t, programme.Handover))
	return s
}

// What contradicts itself limits, by its law and its entries.
func TestContradictionsLimit(t *testing.T) {
	s := started(t)
	s.tell(listening, time.Minute, answer("inspection/fixing", record.Done))
	assert.Empty(t, saysOf(Assess(s.record).Limitations(), Contradicted{}))
	s.from = time.Date(2026, 11, 24, 12, 0, 0, 0, time.UTC)
	s.tell(time.Minute, answer("inspection/fixing", record.Done))
	a := Assess(s.record)
	want := Contradicted{Law: record.LawClocksAgree, Entries: []int{4}, All: 1}
	assert.Equal(t, []Statement{want}, saysOf(a.Limitations(), Contradicted{}))
}

// What became of the computer is noted, and limits nothing.
func TestTheComputersOwnFaultsLimitNothing(t *testing.T) {
	s := started(t)
	s.tell(time.Minute, answer("inspection/fixing", record.Done))
	before := Assess(s.record)
	s.tell(record.Absent{LastedNS: 2e9}, time.Minute, record.Absent{LastedNS: 3e9})
	a := Assess(s.record)
	assert.Len(t, a.Limitations(), len(before.Limitations()))
	noon := s.record.Local(time.Date(2026, 11, 24, 9, 1, 0, 0, time.UTC))
	was := WasAbsent{Times: 2, Lasted: 5 * time.Second, From: noon, To: noon.Add(time.Minute)}
	assert.Equal(t, []Statement{was}, saysOf(a.Notes(), WasAbsent{}))

	s.from = time.Date(2026, 11, 24, 10, 0, 0, 0, time.UTC)
	s.tell(record.ClockStepped{ByNS: int64(time.Hour + 40*time.Millisecond)})
	assert.Equal(t, []Statement{ClockSet{Times: 1, By: time.Hour, At: noon.Add(time.Hour + time.Minute)}},
		saysOf(Assess(s.record).Notes(), ClockSet{}))
	s.from = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	s.tell(record.ClockStepped{ByNS: -int64(time.Hour)})
	set := saysOf(Assess(s.record).Notes(), ClockSet{})[0].(ClockSet)
	assert.Equal(t, 2, set.Times)
	assert.Equal(t, time.Hour, set.By, "set back, it was set all the same")
	s.from = time.Date(2026, 11, 24, 10, 30, 0, 0, time.UTC)
	s.tell(record.Absent{SleptNS: int64(30 * time.Minute)})
	slept := saysOf(Assess(s.record).Notes(), WasAbsent{})[0].(WasAbsent)
	assert.True(t, slept.Asleep)
	assert.Equal(t, 3, slept.Times)
	assert.Equal(t, 30*time.Minute+5*time.Second, slept.Lasted)
}

// saysOf are the statements of one kind.
func saysOf(all []Finding, kind Statement) (out []Statement) {
	for _, f := range all {
		if f.What.Code() == kind.Code() {
			out = append(out, f.What)
		}
	}
	return out
}

// A switch-over that a break may have hidden limits, once no other was watched; where the
// path stayed on mains, nothing could be seen anyway.
func TestAnUnseenSwitchOverLimits(t *testing.T) {
	off, on := answer(programme.IDMainsOff, record.Done), answer(programme.IDMainsOn, record.Done)
	path := answer(programme.IDPath, record.Yes)
	for name, tc := range map[string]struct {
		facts  []any
		limits bool
	}{
		"watched":       {[]any{off, 5 * time.Minute, on, path}, false},
		"killed":        {[]any{off, record.Resumed{}, 5 * time.Minute, on, path}, true},
		"tried again":   {[]any{off, record.Resumed{}, on, off, 2 * time.Minute, on, path}, false},
		"path on mains": {[]any{off, record.Resumed{}, on, answer(programme.IDPath, record.No)}, false},
		"never removed": {[]any{record.Resumed{}, path}, false},
		"lost in the end": {[]any{off, record.Resumed{}, 2 * time.Second, signal.Connection{}, 3 * time.Second, on,
			path}, false},
	} {
		s := started(t)
		s.tell(signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7})
		for i, f := range tc.facts {
			if _, is := f.(record.Resumed); is && i+1 < len(tc.facts) {
				s.tell(f, signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7})
				continue
			}
			s.tell(f)
		}
		assert.Equal(t, tc.limits, len(saysOf(Assess(s.record).Limitations(), SwitchOverUnseen{})) == 1, name)
	}
}
