package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

func volts(step string, value float64, typed string) Reading {
	return Reading{Step: step, Quantity: VoltageReading, Value: value, Unit: "V", AsTyped: typed, Uncertainty: 0.1}
}

// A reading is kept with how things stood when it was taken.
func TestHowThingsStoodAtAReading(t *testing.T) {
	minute := time.Minute
	off := answer(programme.IDMainsOff, Done)
	on := Energised{Output: "Sounder", On: true, By: "controller"}
	load := volts(programme.IDAlarmLoad, 11, "11 V")
	standby := volts("supply/standby-2", 12, "12 V")
	level := decibels(98)
	for name, tc := range map[string]struct {
		facts []any
		taken Taken
	}{
		"mains present": {[]any{minute, standby}, Taken{Reading: standby, At: at(minute)}},
		"mains removed": {[]any{minute, off, minute, standby}, Taken{Reading: standby, At: at(2 * minute),
			WhileOff: true, OffAt: at(minute), SinceOff: minute, SinceOffAtMost: minute}},
		"mains back": {[]any{off, minute, answer(programme.IDMainsOn, Done), standby},
			Taken{Reading: standby, At: at(minute)}},
		"its output on": {[]any{on, load}, Taken{Reading: load, At: at(0), Loaded: true}},
		"its output off": {[]any{on, Energised{Output: "Sounder", By: "controller"}, load},
			Taken{Reading: load, At: at(0)}},
		"another output on": {[]any{Energised{Output: "Chime", On: true, By: "controller"}, load},
			Taken{Reading: load, At: at(0)}},
		"loud": {[]any{on, level}, Taken{Reading: level, At: at(0), Loaded: true}},
	} {
		r := recordOf(t, tc.facts...)
		o := r.Find(tc.taken.Step)
		require.Len(t, o.Readings(), 1, name)
		tc.taken.Entry = o.Readings()[0].Entry
		assert.Equal(t, []Taken{tc.taken}, o.Readings(), name)
		assert.Equal(t, tc.taken.Quantity == VoltageReading, o.Concluded(), name)
		assert.Equal(t, &tc.taken, o.Reading(tc.taken.Quantity), name)
		assert.Nil(t, o.Reading(CurrentReading), name)
	}
}

// The last reading of a quantity counts; all stay.
func TestTheLastReadingOfAQuantity(t *testing.T) {
	current := Reading{Step: "outputs/Sounder", Quantity: CurrentReading, Value: 0.3, Unit: "A", AsTyped: "0.3 A"}
	o := recordOf(t, decibels(91), decibels(97), current).Find("outputs/Sounder")
	assert.Len(t, o.Readings(), 3)
	assert.Equal(t, 97.0, o.Reading(LevelReading).Value)
	assert.Equal(t, 0.3, o.Reading(CurrentReading).Value)
	o.Reading(LevelReading).Value = 1
	assert.Equal(t, 97.0, o.Reading(LevelReading).Value, "whoever reads it cannot change it")
}

func TestWhenAReadingIsDue(t *testing.T) {
	off := answer(programme.IDMainsOff, Done)
	for _, tc := range []struct {
		facts []any
		after float64 // s
		now   time.Duration
		due   time.Duration
	}{
		{nil, 60, 0, 0}, // mains is present
		{[]any{off}, 0, time.Second, 0},
		{[]any{off}, 1, 0, time.Second},
		{[]any{off}, 60, 0, time.Minute},
		{[]any{off}, 60, 45 * time.Second, 15 * time.Second},
		{[]any{off}, 60, time.Minute, 0},
		{[]any{off}, 60, time.Hour, 0},
		{[]any{10 * time.Second, off}, 0.5, 10 * time.Second, time.Second / 2},
	} {
		r := recordOf(t, tc.facts...)
		assert.Equal(t, tc.due, r.ReadingDue(programme.Step{AfterSeconds: tc.after}, tc.now), "%+v", tc)
	}
}

// Whether it charges is looked at some time after mains came back; where it never went, at
// once.
func TestWhenTheRecheckIsDue(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	left := answer(programme.IDMainsOff, LeftOut)
	recheck := programme.Step{ID: programme.IDCharging, AfterSeconds: 600}
	const minute = time.Minute
	for name, tc := range map[string]struct {
		facts []any
		now   time.Duration
		due   time.Duration
	}{
		"present":                  {nil, 0, 0},
		"removed":                  {[]any{minute, off}, minute, 0},
		"back":                     {[]any{off, minute, on}, minute, 10 * minute},
		"back for a while":         {[]any{off, minute, on}, 5 * minute, 6 * minute},
		"back for long":            {[]any{off, minute, on}, 12 * minute, 0},
		"back, said once more":     {[]any{off, minute, on, minute, on}, 2 * minute, 10 * minute},
		"removed again":            {[]any{off, minute, on, minute, off}, 2 * minute, 0},
		"never removed":            {[]any{left, minute, on}, minute, 0},
		"it never went, after all": {[]any{off, left, minute, on}, minute, 0},
		"not back, after all":      {[]any{off, minute, answer(programme.IDMainsOn, LeftOut)}, minute, 0},
	} {
		assert.Equal(t, tc.due, recordOf(t, tc.facts...).ReadingDue(recheck, tc.now), name)
	}
	assert.Zero(t, recordOf(t, off, left).MainsOff(), "done was a slip")
	r := recordOf(t, volts(programme.IDCharging, 13.5, "13.5 V"))
	assert.True(t, r.Find(programme.IDCharging).Concluded())
	r = recordOf(t, volts(programme.IDCharging, 13.5, "13.5 V"), off)
	assert.False(t, r.Find(programme.IDCharging).Concluded(), "it has to charge again")
}

func TestTheVoltmeter(t *testing.T) {
	assert.Nil(t, recordOf(t).Voltmeter())
	r := recordOf(t, Instrument{Step: programme.IDVoltmeter, Name: "first"}, Instrument{Step: programme.IDVoltmeter,
		Name: "meter"})
	assert.Equal(t, "meter", r.Voltmeter().Name)
	assert.True(t, r.Find(programme.IDVoltmeter).Concluded())
	r, err := told(t, openedHonestly(t, without(programme.StageSupply)))
	require.NoError(t, err)
	assert.Nil(t, r.Voltmeter())
	assert.Empty(t, r.PathOnStandby())
}

func TestThePathOnStandby(t *testing.T) {
	assert.Empty(t, recordOf(t).PathOnStandby())
	assert.Equal(t, No, recordOf(t, answer(programme.IDPath, Yes), answer(programme.IDPath, No)).PathOnStandby())
}

// What is proved on standby has to be told from what is proved with mains present.
func TestTrialsWhileMainsIsRemoved(t *testing.T) {
	r := recordOf(t, answer(programme.IDMainsOff, Done), time.Minute, Cue{Step: "supply/proof-1.1", Half: Operate})
	trial, _ := r.Trial()
	assert.True(t, trial.MainsOff())
	assert.Equal(t, at(time.Minute), trial.At())
	r = recordOf(t, answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done),
		Cue{Step: "supply/proof-1.1", Half: Operate})
	trial, _ = r.Trial()
	assert.False(t, trial.MainsOff())
}

// Only the step about putting mains back tells that it is back, and only when done.
func TestWhatPutsMainsBack(t *testing.T) {
	off := answer(programme.IDMainsOff, Done)
	for name, tc := range map[string]struct {
		then Answer
		back bool
	}{
		"done":              {answer(programme.IDMainsOn, Done), true},
		"left out":          {answer(programme.IDMainsOn, LeftOut), false},
		"another step done": {answer(checkStep, Done), false},
		"another left out":  {answer(programme.IDPath, No), false},
	} {
		assert.Equal(t, tc.back, recordOf(t, off, tc.then).MainsOff().IsZero(), name)
	}
	r := recordOf(t, answer(checkStep, Done))
	assert.True(t, r.MainsOff().IsZero())
}

// What was measured of a silent output is no measurement of it: the last while it was on is.
func TestReadingsOfASilentOutputDoNotCount(t *testing.T) {
	on, off := switched("Sounder", true), switched("Sounder", false)
	level := decibels
	for name, tc := range map[string]struct {
		facts []any
		want  float64 // 0 for none
	}{
		"on":               {[]any{on, level(97), off}, 97},
		"off":              {[]any{on, off, level(97)}, 0},
		"on, then off":     {[]any{on, level(97), off, level(62)}, 97},
		"off, then on":     {[]any{level(62), on, level(97), off}, 97},
		"twice on":         {[]any{on, level(96), level(97), off}, 97},
		"another quantity": {[]any{on, off}, 0},
	} {
		r := recordOf(t, tc.facts...).Find("outputs/Sounder").ReadingWhileOn(LevelReading)
		if tc.want == 0 {
			assert.Nil(t, r, name)
			continue
		}
		assert.Equal(t, tc.want, r.Value, name)
	}
}
