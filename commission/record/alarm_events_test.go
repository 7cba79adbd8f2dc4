package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// tellsAll is a controller that tells all of itself.
func tellsAll() signal.Listening {
	l := overMQTT
	l.Tells = signal.Aspects
	return l
}

// That the controller tells that something is not present is an event only where it was, as far
// as that was known.
func TestWhatIsNoEventOfAnAlarm(t *testing.T) {
	const id, second = programme.IDAlarmIntrusion, time.Second
	told1 := func(a signal.Aspect, present bool) signal.System { return signal.System{Aspect: a, Present: present} }
	for name, c := range map[string]struct {
		before, during []any
		want           []Instant
	}{
		"an alarm that never was, heard first": {nil, []any{told1(signal.Alarm, false)}, nil},
		"an alarm that never was, told again":  {[]any{told1(signal.Alarm, false)}, []any{told1(signal.Alarm, false)}, nil},
		"an alarm and its end": {nil, []any{told1(signal.Alarm, true), told1(signal.Alarm, false)},
			[]Instant{Alarmed, AlarmOver}},
		"the end of one from before":            {[]any{told1(signal.Alarm, true)}, []any{told1(signal.Alarm, false)}, []Instant{AlarmOver}},
		"unset, which it was":                   {[]any{told1(signal.Set, false)}, []any{told1(signal.Set, false)}, nil},
		"unset, of which nothing was heard yet": {nil, []any{told1(signal.Set, false)}, []Instant{Unset}},
		"set and unset":                         {nil, []any{told1(signal.Set, true), told1(signal.Set, false)}, []Instant{SystemSet, Unset}},
	} {
		facts := append([]any{tellsAll()}, c.before...)
		r, err := told(t, monitored(t), append(append(facts, moment(id, ToBegin), second), c.during...)...)
		require.NoError(t, err, name)
		a, _ := r.Alarm()
		var got []Instant
		for _, i := range a.Instants() {
			if i.By == ByReport {
				got = append(got, i.What)
			}
		}
		assert.Equal(t, c.want, got, name)
	}
}

// After a break it is known how the system stood when it was heard of last.
func TestHowTheSystemStood(t *testing.T) {
	const id, second = programme.IDAlarmIntrusion, time.Second
	alarm := func(present bool) signal.System { return signal.System{Aspect: signal.Alarm, Present: present} }
	set := func(present bool) signal.System { return signal.System{Aspect: signal.Set, Present: present} }
	begun := []any{tellsAll(), moment(id, ToBegin), moment(id, ToSet), second}
	raised := []any{set(true), at11(id, ToIntrude), second, at11(id, Intruded)}
	never := moment(id, OutputOn)
	never.Output, never.Never = "Sounder", true
	sounds := never
	sounds.Never = false
	for name, c := range map[string]struct {
		facts []any
		want  Instant
	}{
		"told to set":         {nil, ToSet},
		"set":                 {[]any{set(true)}, SystemSet},
		"intruded":            {raised, Intruded},
		"in alarm":            {append(raised[:len(raised):len(raised)], alarm(true)), Alarmed},
		"silent":              {append(raised[:len(raised):len(raised)], never), Intruded},
		"sounding":            {append(raised[:len(raised):len(raised)], sounds), Alarmed},
		"the alarm is over":   {append(raised[:len(raised):len(raised)], alarm(true), alarm(false)), SystemSet},
		"unset":               {append(raised[:len(raised):len(raised)], alarm(true), set(false), alarm(false)), ""},
		"an alarm of another": {[]any{set(false), alarm(true)}, ""},
	} {
		facts := append(append([]any{}, begun...), c.facts...)
		r, err := told(t, monitored(t), append(facts, Paused{By: StopAsked}, Resumed{Tool: "x"}, tellsAll())...)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, r.SystemStood(), name)
		assert.Equal(t, c.want != "", r.SystemMayBeSet(), name)
	}
}
