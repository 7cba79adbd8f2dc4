package record

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// monitored is a visit at a site whose alarms a centre receives.
func monitored(t *testing.T) Opened {
	t.Helper()
	text := strings.Replace(honestSite, "controller:", "monitoring: {centre: Northmoor}\ncontroller:", 1)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	return Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: text,
		Programme: programme.Of(readSite(t, text), list)}
}

func moment(step string, what Instant) Moment { return Moment{Step: step, What: what} }

func at11(step string, what Instant) Moment { return Moment{Step: step, What: what, Point: "1.1"} }

func sounding11(what Instant) Moment {
	return Moment{Step: programme.IDAlarmIntrusion, What: what, Output: "Sounder"}
}

// alarmed is an intrusion by keys, from its beginning to its answer.
func alarmed() []any {
	const id = programme.IDAlarmIntrusion
	return []any{moment(id, ToBegin), time.Second, at11(id, ToIntrude), time.Second, at11(id, Intruded), time.Second,
		sounding11(OutputOn), time.Second, moment(id, ToUnset), time.Second, moment(id, Unset), time.Second,
		moment(id, AllAtRest), Answer{Step: id, Result: Done}}
}

// lacking is the facts without one.
func lacking(facts []any, i int) []any { return append(append([]any{}, facts[:i]...), facts[i+1:]...) }

func TestLawsOfAnAlarm(t *testing.T) {
	const set, entry, id = programme.IDAlarmSetting, programme.IDAlarmEntry, programme.IDAlarmIntrusion
	begun := func(step string, facts ...any) []any {
		return append([]any{moment(step, ToBegin), time.Second}, facts...)
	}
	swapped := alarmed()
	swapped[4], swapped[6] = swapped[6], swapped[4]
	for law, cases := range map[Law][]lawCase{
		LawAlarmStep: {
			{"an alarm", alarmed(), false},
			{"a moment of a step that was not begun", []any{moment(set, ToSet)}, true},
			{"of another step than the one that was", begun(set, moment(entry, ToEnter)), true},
			{"behind a break", begun(set, Paused{By: StopAsked}, Resumed{Tool: "x"}, overMQTT, moment(set, ToSet)), true},
			{"begun anew behind it", begun(set, Paused{By: StopAsked}, Resumed{Tool: "x"}, overMQTT, moment(set, ToBegin),
				moment(set, ToSet)), false},
			{"before the run began", begun(set, moment(set, ToSet), Moment{Step: set, What: Setting, BeforeNS: 1e12}), true},
		},
		LawMomentAfterCue: {
			{"an alarm", alarmed(), false},
			{"set, and nobody was told to set it", begun(set, moment(set, SystemSet)), true},
			{"a key from before it was told", begun(set, moment(set, ToSet), time.Second,
				Moment{Step: set, What: Setting, BeforeNS: int64(time.Second) + 1}), true},
			{"a key in the same moment", begun(set, moment(set, ToSet), time.Second,
				Moment{Step: set, What: Setting, BeforeNS: int64(time.Second)}), false},
			{"another detector than was told", begun(id, at11(id, ToIntrude), Moment{Step: id, What: Intruded, Point: "2.1"}),
				true},
		},
		LawAlarmOrder: {
			{"an alarm", alarmed(), false},
			{"the sounder before the intrusion", swapped, true},
			{"the sounder without an intrusion", lacking(alarmed(), 4), true},
			{"set before it was begun", begun(set, moment(set, ToSet), time.Second, moment(set, SystemSet), time.Minute,
				moment(set, Setting)), true},
			{"the controller's word in any order", []any{
				signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7, Tells: signal.Aspects},
				moment(set, ToBegin), moment(set, ToSet), signal.System{Aspect: signal.Set, Present: true}, time.Minute,
				signal.System{Aspect: signal.Setting, Present: true}}, false},
		},
		LawAlarmThere: {
			{"an alarm", alarmed(), false},
			{"an answer without an alarm", []any{Answer{Step: id, Result: Done}}, true},
			{"without its end", lacking(alarmed(), 12), true},
			{"left out", []any{Answer{Step: id, Result: LeftOut, Remark: "asleep"}}, false},
			{"a receipt of an alarm", append(alarmed(), Received{Step: "alarm/path-1", Time: "21:05"}), false},
			{"a receipt without one", []any{Received{Step: "alarm/path-1", Time: "21:05"}}, true},
		},
		LawReceipt: {
			{"to the second", append(alarmed(), Received{Step: "alarm/path-1", Time: "21:05:07"}), false},
			{"never", append(alarmed(), Received{Step: "alarm/path-1", Never: true}), false},
			{"no time of day", append(alarmed(), Received{Step: "alarm/path-1", Time: "at once"}), true},
			{"a minute that no clock shows", append(alarmed(), Received{Step: "alarm/path-1", Time: "21:60"}), true},
			{"nothing", append(alarmed(), Received{Step: "alarm/path-1"}), true},
			{"never, at a time", append(alarmed(), Received{Step: "alarm/path-1", Never: true, Time: "21:05"}), true},
			{"a clock that nobody asked for", append(alarmed(),
				Received{Step: "alarm/path-1", Time: "21:05", Clock: "21:06"}), true},
			{"a clock that was asked for", append(append(alarmed(),
				begun("alarm/path-1", moment("alarm/path-1", CentreClock))...),
				Received{Step: "alarm/path-1", Time: "21:05", Clock: "21:06"}), false},
		},
	} {
		for _, c := range cases {
			r, err := told(t, monitored(t), c.facts...)
			var refused *Refusal
			if errors.As(err, &refused) {
				assert.Equal(t, []any{true, law}, []any{c.breaks, refused.Law}, c.name)
				continue
			}
			require.NoError(t, err, c.name)
			assert.Equal(t, c.breaks, len(brokenBy(r, law)) > 0, "%s: %s", law, c.name)
		}
	}
}

// An alarm that is raised anew opens what the centre said of the one before, and the
// controller's word goes before a key's.
func TestAnAlarmAnew(t *testing.T) {
	r, err := told(t, monitored(t), append(append(alarmed(), Received{Step: "alarm/path-1", Time: "21:05"}),
		moment(programme.IDAlarmIntrusion, ToBegin))...)
	require.NoError(t, err)
	assert.False(t, r.Find("alarm/path-1").Concluded())
	assert.Nil(t, r.Find("alarm/path-1").Receipt())
	assert.Len(t, r.Find(programme.IDAlarmIntrusion).Alarms(), 2)

	const id = programme.IDAlarmIntrusion
	r, err = told(t, monitored(t), moment(id, ToBegin), time.Second, at11(id, ToIntrude), 2*time.Second,
		at11(id, Intruded), time.Second, reported("z1", signal.Active), reported("z2", signal.Active))
	require.NoError(t, err)
	a, _ := r.Alarm()
	first, is := a.First(Intruded, nil)
	assert.True(t, is)
	assert.Equal(t, BySignal, first.By)
	assert.Equal(t, 4*time.Second, first.Elapsed)
	assert.Equal(t, 50*time.Millisecond, first.Uncertainty)
}

// A system that was being set may be set after a break, until somebody says that it is unset.
func TestWhatABreakMayLeaveSet(t *testing.T) {
	const set, entry = programme.IDAlarmSetting, programme.IDAlarmEntry
	broken := []any{moment(set, ToBegin), moment(set, ToSet), Paused{By: StopAsked}, Resumed{Tool: "x"}, overMQTT}
	r, err := told(t, monitored(t), broken...)
	require.NoError(t, err)
	assert.True(t, r.SystemMayBeSet())
	assert.False(t, r.SystemIsSet())
	r, err = told(t, monitored(t), append(broken, moment(entry, ToBegin), moment(entry, ToEnter), moment(entry, Unset))...)
	require.NoError(t, err)
	assert.False(t, r.SystemMayBeSet())
}

func TestTimesOfDay(t *testing.T) {
	for text, want := range map[string][2]time.Duration{
		"21:05": {21*time.Hour + 5*time.Minute, time.Minute}, "0:00:07": {7 * time.Second, time.Second},
		"23:59:59": {24*time.Hour - time.Second, time.Second},
	} {
		since, resolution, err := TimeOfDay(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, [2]time.Duration{since, resolution}, text)
	}
	for _, text := range []string{"", "24:00", "9", "21:5", "21:05:60", "21:05 Uhr", "-1:00", "21:05:07.5"} {
		_, _, err := TimeOfDay(text)
		assert.ErrorIs(t, err, ErrNoClock, text)
	}
}
