package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

func ns(d time.Duration) int64 { return d.Nanoseconds() }

// What is watched of a time without mains: no absence, no sleep and no break counts.
func TestOnlyWatchedTimeCounts(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	const minute = time.Minute
	stopped := Absent{LastedNS: ns(minute)}
	for name, tc := range map[string]struct {
		facts []any
		want  time.Duration
	}{
		"all of it":         {[]any{off, 5 * minute, on}, 5 * minute},
		"stopped":           {[]any{off, 5 * minute, stopped, minute, on}, 5 * minute},
		"stopped twice":     {[]any{off, 5 * minute, stopped, minute, stopped, on}, 4 * minute},
		"stopped before it": {[]any{5 * minute, stopped, off, 2 * minute, on}, 2 * minute},
		"asleep":            {[]any{off, 5 * minute, Absent{SleptNS: ns(time.Hour)}, minute, on}, 6 * minute},
		"clock set":         {[]any{off, 5 * minute, ClockStepped{ByNS: ns(time.Hour)}, minute, on}, 6 * minute},
		"over a pause":      {[]any{off, minute, Paused{StopByTechnician}, minute, Resumed{}, minute, on}, 2 * minute},
		"over a kill":       {[]any{off, minute, on, off, minute, answer(checkStep, Done), minute, Resumed{}, minute, on}, 2 * minute},
		"stopped in the run before": {[]any{off, 5 * minute, stopped, Paused{StopByTechnician}, Resumed{}, minute, on},
			5 * minute},
		"stopped in the run after": {[]any{off, minute, Paused{StopByTechnician}, Resumed{}, 3 * minute, stopped, on},
			3 * minute},
		"begun in an earlier run": {[]any{7 * minute, Paused{StopByTechnician}, Resumed{}, minute, off, minute, on}, minute},
	} {
		holds := recordOf(t, tc.facts...).Holds()
		assert.Equal(t, tc.want, holds[len(holds)-1].Watched, name)
		r := recordOf(t, tc.facts[:len(tc.facts)-1]...)
		if name != "over a kill" { // the last entry is before the last minute
			assert.LessOrEqual(t, r.Holds()[len(r.Holds())-1].Watched, tc.want, "%s, going on", name)
		}
	}
	r := recordOf(t, off, 5*minute, stopped)
	assert.Equal(t, 4*minute, r.Holds()[0].Watched, "as far as it goes")
	assert.Equal(t, 5*minute, r.SinceOff(6*minute))
	assert.Zero(t, recordOf(t).SinceOff(minute), "present")
	step := programme.Step{AfterSeconds: 600}
	assert.Equal(t, 5*minute, r.ReadingDue(step, 6*minute))
	assert.Zero(t, r.ReadingDue(step, 11*minute))
}

// Readings and samples tell the time that was watched.
func TestReadingsTellWatchedTime(t *testing.T) {
	off := answer(programme.IDMainsOff, Done)
	r := recordOf(t, off, 5*time.Minute, Absent{LastedNS: ns(time.Minute)}, volts("supply/standby-1", 12.5, "12.5 V"))
	assert.Equal(t, 4*time.Minute, r.Find("supply/standby-1").Reading(VoltageReading).SinceOff)
}

func TestAnAbsenceVoidsATrial(t *testing.T) {
	cue := Cue{Step: "walk/1.1", Half: Operate}
	r := recordOf(t, cue, time.Second, Absent{LastedNS: ns(time.Second)})
	trial := r.Find("walk/1.1").Attempts()[0].Operate
	assert.Equal(t, ByAbsence, trial.EndedBy())
	assert.Equal(t, Void, trial.Judge().Verdict)
	assert.False(t, trial.Missed(), "the detector missed nothing")
	waiting, _ := r.Trial()
	assert.Nil(t, waiting)
	assert.Equal(t, []Absence{{Noticed: at(time.Second), Lasted: time.Second, Trial: true}}, r.Absences())

	r = recordOf(t, answer(programme.IDMainsOff, Done), Absent{SleptNS: ns(time.Hour)})
	assert.Equal(t, []Absence{{Noticed: at(0), Lasted: time.Hour, Asleep: true, Hold: true}}, r.Absences())
	r.Absences()[0].Lasted = 0
	assert.Equal(t, time.Hour, r.Absences()[0].Lasted, "whoever reads it cannot change it")

	late := Cue{Step: "walk/1.1", Half: Operate, BeforeNS: ns(2 * time.Second)}
	r = recordOf(t, 3*time.Second, Absent{LastedNS: ns(time.Second)}, time.Second, late)
	assert.Equal(t, ByAbsence, r.Find("walk/1.1").Attempts()[0].Operate.EndedBy(), "also of a cue that came later")
}

func TestAbsencesThatMakeNoSense(t *testing.T) {
	for name, a := range map[string]Absent{
		"none":                {},
		"negative":            {LastedNS: -1},
		"a negative sleep":    {LastedNS: 5, SleptNS: -1},
		"longer than the run": {LastedNS: ns(time.Minute) + 1},
		"a sleep of years":    {SleptNS: ns(longestAbsence) + 1},
	} {
		_, err := told(t, openedHonestly(t, asItIs), time.Minute, a)
		assert.ErrorIs(t, err, ErrNoSense, name)
	}
	recordOf(t, time.Minute, Absent{LastedNS: ns(time.Minute), SleptNS: ns(longestAbsence)})
	refuses(t, "absent", time.Minute, Absent{LastedNS: ns(time.Minute)}, Absent{LastedNS: 1})
	refuses(t, "set by nothing", ClockStepped{})
	r := recordOf(t, ClockStepped{ByNS: -5})
	assert.Equal(t, []ClockStep{{At: at(0), By: -5}}, r.ClockSteps())
	r.ClockSteps()[0].By = 0
	assert.Equal(t, time.Duration(-5), r.ClockSteps()[0].By)
}

// By how much the program may have been late is part of a time's uncertainty; by more, it
// writes no end.
func TestLatenessOfATrial(t *testing.T) {
	operated := func(late time.Duration) []any {
		return []any{Cue{Step: "walk/1.1", Half: Operate}, 400 * time.Millisecond,
			signal.Signal{Address: "z1", State: signal.Active}, 2 * time.Second,
			Ended{Step: "walk/1.1", By: ByTime, LateNS: ns(late)}}
	}
	for late, want := range map[time.Duration]time.Duration{
		0: 50 * time.Millisecond, 50 * time.Millisecond: 70710678, 30 * time.Millisecond: 58309518} {
		r := recordOf(t, operated(late)...)
		assert.Equal(t, want, r.Find("walk/1.1").Attempts()[0].Operate.Judge().Uncertainty)
	}
	refuses(t, "too late", operated(50*time.Millisecond+1)...)
	refuses(t, "too late", operated(-1)...)
	restart := func(late time.Duration) []any {
		return []any{Cue{Step: programme.IDRestart, Half: Operate}, time.Minute,
			signal.Signal{Address: "z1", State: signal.Active}, Ended{Step: programme.IDRestart, By: ByTime, LateNS: ns(late)}}
	}
	recordOf(t, restart(time.Second)...)
	refuses(t, "too late", restart(time.Second+1)...)
}

// The two clocks of entries go together, but for what entries tell and for what a network
// does to a clock.
func TestTheClocksAgree(t *testing.T) {
	const ms = time.Millisecond
	stepped := func(by time.Duration) Fact { return ClockStepped{ByNS: ns(by)} }
	note := Note{Step: checkStep, Text: "x"}
	for name, tc := range map[string]struct {
		f            Fact
		run          int
		wall, passed time.Duration
		breaks       bool
	}{
		"together":               {note, 1, time.Minute, time.Minute, false},
		"apart":                  {note, 1, time.Minute + 300*ms, time.Minute, true},
		"apart, back":            {note, 1, time.Minute - 300*ms, time.Minute, true},
		"by noise":               {note, 1, time.Second + 151*ms, time.Second, false},
		"by more than noise":     {note, 1, time.Second + 151*ms + 1, time.Second, true},
		"by less than noise":     {note, 1, time.Second - 151*ms, time.Second, false},
		"slewed over hours":      {note, 1, time.Hour + 3750*ms, time.Hour, false},
		"faster than any slew":   {note, 1, time.Hour + 3751*ms, time.Hour, true},
		"set, and told":          {stepped(time.Hour), 1, time.Hour + time.Minute, time.Minute, false},
		"set by more than told":  {stepped(time.Hour), 1, 2 * time.Hour, time.Minute, true},
		"set the other way":      {stepped(-time.Hour), 1, time.Hour, time.Minute, true},
		"asleep, and told":       {Absent{SleptNS: ns(time.Hour)}, 1, time.Hour + time.Minute, time.Minute, false},
		"asleep for longer":      {Absent{SleptNS: ns(time.Hour)}, 1, 3 * time.Hour, time.Minute, true},
		"stopped: no difference": {Absent{LastedNS: 5}, 1, time.Minute, time.Minute, false},
		"of another run":         {Resumed{}, 2, 5 * time.Hour, 0, false},
	} {
		r := recordOf(t)
		e := journal.Entry{N: 3, At: at(tc.wall), Run: tc.run, Elapsed: tc.passed, Kind: tc.f.Kind(), Body: bodyOf(t, tc.f)}
		require.NoError(t, r.Take(e), name)
		var want []Breach
		if tc.breaks {
			want = []Breach{{LawClocksAgree, []int{3}, 1}}
		}
		assert.Equal(t, want, r.Breaches(), name)
	}
}

// Of each law the first entries are named, and all are counted.
func TestBreachesAreBounded(t *testing.T) {
	r := recordOf(t)
	for i := range 20 {
		f := Note{Step: checkStep, Text: "x"}
		require.NoError(t, r.Take(journal.Entry{N: i + 3, At: at(time.Duration(i+1) * time.Hour), Run: 1, Kind: f.Kind(),
			Body: bodyOf(t, f)}))
	}
	b := r.Breaches()
	require.Len(t, b, 1)
	assert.Equal(t, Breach{LawClocksAgree, []int{3, 4, 5, 6, 7, 8, 9, 10}, 20}, b[0])
	b[0].Entries[0] = 0
	assert.Equal(t, 3, r.Breaches()[0].Entries[0], "whoever reads it cannot change it")
	names, consequences := Laws()
	assert.Equal(t, LawClocksAgree, names[0])
	assert.Equal(t, Limits, consequences[0])
	assert.Equal(t, "law/clocks-agree", names[0].Code())
}

// What was not watched of it is told as a bound: breaks by the time of day, sleep, stops.
func TestTimesAreBoundedByBothClocks(t *testing.T) {
	off, volt := answer(programme.IDMainsOff, Done), volts("supply/standby-1", 12.5, "12.5 V")
	const minute = time.Minute
	for name, tc := range map[string]struct {
		facts           []any
		watched, atMost time.Duration
	}{
		"watched":   {[]any{off, 5 * minute}, 5 * minute, 5 * minute},
		"stopped":   {[]any{off, 5 * minute, Absent{LastedNS: ns(minute)}}, 4 * minute, 5 * minute},
		"asleep":    {[]any{off, 5 * minute, Absent{SleptNS: ns(minute)}}, 5 * minute, 6 * minute},
		"clock set": {[]any{off, ClockStepped{ByNS: ns(time.Hour)}, 5 * minute}, 5 * minute, 5 * minute},
		"paused":    {[]any{off, minute, Paused{StopByTechnician}, 7 * minute, Resumed{}, minute}, 2 * minute, 9 * minute},
		"paused before": {[]any{Paused{StopByTechnician}, 7 * minute, Resumed{}, minute, off, minute}, minute,
			minute},
	} {
		reading := recordOf(t, append(tc.facts, volt)...).Find("supply/standby-1").Reading(VoltageReading)
		assert.Equal(t, tc.watched, reading.SinceOff, name)
		assert.Equal(t, tc.atMost, reading.SinceOffAtMost, name)
	}
}

// A connection that is lost since this program did not run is no fault of the system.
func TestWhatIsLostByAnAbsence(t *testing.T) {
	lost, long := signal.Connection{}, Absent{LastedNS: ns(time.Second)}
	const second = time.Second
	for name, tc := range map[string]struct {
		facts []any
		own   bool
	}{
		"lost":                         {[]any{second, lost}, false},
		"behind an absence":            {[]any{second, long, lost}, true},
		"soon behind it":               {[]any{second, long, 10 * second, lost}, true},
		"long behind it":               {[]any{second, long, 10*second + 1, lost}, false},
		"behind a short one":           {[]any{second, Absent{LastedNS: ns(second) - 1}, lost}, false},
		"behind a sleep":               {[]any{second, Absent{SleptNS: ns(time.Hour)}, lost}, true},
		"just before it is noticed":    {[]any{5 * second, lost, second, long}, true},
		"before it":                    {[]any{5 * second, lost, second + 1, long}, false},
		"before a short one":           {[]any{5 * second, lost, Absent{LastedNS: 1}}, false},
		"and back before it":           {[]any{5 * second, lost, signal.Connection{Up: true}, second, long}, false},
		"in the run behind an absence": {[]any{second, long, Resumed{}, lost}, false},
	} {
		outages := recordOf(t, append(tc.facts, signal.Connection{Up: true})...).Outages()
		if name == "in the run behind an absence" { // it was not connected yet
			assert.Empty(t, outages, name)
			continue
		}
		assert.Equal(t, tc.own, outages[0].Own, name)
	}
}

// A short absence behind the answer spoils nothing; one in which the answer came does, and
// so does any while nothing has come.
func TestAShortAbsenceBehindTheAnswer(t *testing.T) {
	const ms = time.Millisecond
	cue, opens := Cue{Step: "walk/1.1", Half: Operate}, reported("z1", signal.Active)
	busy := Absent{LastedNS: ns(100 * ms)}
	for name, tc := range map[string]struct {
		facts []any
		void  bool
	}{
		"behind it":        {[]any{cue, 400 * ms, opens, 200 * ms, busy}, false},
		"just behind it":   {[]any{cue, 400 * ms, opens, 100 * ms, busy}, false},
		"over it":          {[]any{cue, 400 * ms, opens, 100*ms - 1, busy}, true},
		"before it":        {[]any{cue, 400 * ms, busy, opens}, true},
		"behind, and long": {[]any{cue, 400 * ms, opens, 5 * time.Second, Absent{LastedNS: ns(time.Second)}}, true},
		"behind another":   {[]any{cue, 400 * ms, reported("z2", signal.Active), 200 * ms, busy}, true},
		"more came in it": {[]any{cue, 400 * ms, opens, 200 * ms, reported("z1", signal.Restored), 50 * ms, busy},
			true},
	} {
		r := recordOf(t, append([]any{time.Second}, tc.facts...)...)
		_, on := r.Trial()
		assert.Equal(t, tc.void, on == nil, name)
		assert.Equal(t, tc.void, r.Absences()[0].Trial, name)
	}
}
