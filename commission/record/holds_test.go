package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The times without mains: one that was said by a slip, or that began later than was said,
// is none of its own.
func TestHolds(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	left := answer(programme.IDMainsOff, LeftOut)
	const minute = time.Minute
	from := func(since, watched time.Duration) Hold { return Hold{From: at(since), Watched: watched} }
	span := func(since, until time.Duration) Hold {
		return Hold{From: at(since), To: at(until), Watched: until - since}
	}
	for name, tc := range map[string]struct {
		facts []any
		want  []Hold
	}{
		"never":                     {nil, nil},
		"never, but back":           {[]any{on}, nil},
		"off":                       {[]any{minute, off, minute}, []Hold{from(minute, 0)}},
		"off and back":              {[]any{minute, off, minute, on}, []Hold{span(minute, 2*minute)}},
		"back, said once more":      {[]any{off, minute, on, minute, on}, []Hold{span(0, minute)}},
		"off, said once more":       {[]any{off, minute, off}, []Hold{from(minute, 0)}},
		"a slip":                    {[]any{off, minute, left}, nil},
		"left out":                  {[]any{left, minute, on}, nil},
		"twice":                     {[]any{off, minute, on, minute, off}, []Hold{span(0, minute), from(2*minute, 0)}},
		"twice, the second a slip":  {[]any{off, minute, on, minute, off, left}, []Hold{span(0, minute)}},
		"left out after it":         {[]any{off, minute, on, minute, left}, []Hold{span(0, minute)}},
		"left out, and back, again": {[]any{off, minute, on, left, minute, on}, []Hold{span(0, minute)}},
	} {
		assert.ElementsMatch(t, tc.want, recordOf(t, tc.facts...).Holds(), name)
	}
}

// A detector is held against what its own kind is, not its zone's.
func TestATrialOfAKindOfItsOwn(t *testing.T) {
	change := mended(t, "detectors: [Window]", "detectors: [{name: Pane, kind: glass-break}]")
	opened := Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: change.Site,
		Programme: change.Programme}
	r, err := told(t, opened, Cue{Step: "walk/2.1", Half: Operate})
	assert.NoError(t, err)
	trial, _ := r.Trial()
	assert.Equal(t, site.DetectorKind("glass-break"), trial.Kind())
}

func TestSimulatedTime(t *testing.T) {
	assert.False(t, recordOf(t).TimeSimulated())
	seeded := signal.Listening{Way: signal.Simulated, TimedBy: signal.BySeed, Simulated: true}
	assert.False(t, recordOf(t, seeded).TimeSimulated())
	seeded.TimedBy = signal.BySimulatedTime
	assert.True(t, recordOf(t, seeded).TimeSimulated())
}

// A break within a minute of removing mains may hide what the controller did then.
func TestUnseenSwitchOvers(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	resumed := Resumed{}
	const minute, second = time.Minute, time.Second
	for name, tc := range map[string]struct {
		facts []any
		want  []bool
	}{
		"watched":                  {[]any{off, 5 * minute, on}, []bool{false}},
		"killed at once":           {[]any{off, 3 * second, resumed, minute, on}, []bool{true}},
		"paused within a minute":   {[]any{off, minute - 1, Paused{StopByTechnician}, resumed, on}, []bool{true}},
		"paused after a minute":    {[]any{off, minute, Paused{StopByTechnician}, resumed, on}, []bool{false}},
		"paused before":            {[]any{Paused{StopByTechnician}, resumed, off, minute, on}, []bool{false}},
		"paused behind it":         {[]any{off, second, on, resumed}, []bool{false}},
		"stopped":                  {[]any{off, 5 * second, Absent{LastedNS: ns(second)}, minute, on}, []bool{true}},
		"stopped for less":         {[]any{off, 5 * second, Absent{LastedNS: ns(second) - 1}, minute, on}, []bool{false}},
		"asleep":                   {[]any{off, Absent{SleptNS: ns(second)}, minute, on}, []bool{true}},
		"stopped from 59 s on":     {[]any{off, 61 * second, Absent{LastedNS: ns(2 * second)}, on}, []bool{true}},
		"stopped from a minute on": {[]any{off, 62 * second, Absent{LastedNS: ns(2 * second)}, on}, []bool{false}},
		"the second time":          {[]any{off, minute, on, off, resumed, on}, []bool{false, true}},
		"the first time":           {[]any{off, resumed, on, off, minute, on}, []bool{true, false}},
		"a slip":                   {[]any{off, answer(programme.IDMainsOff, LeftOut), resumed}, nil},
	} {
		var unseen []bool
		for _, h := range recordOf(t, tc.facts...).Holds() {
			unseen = append(unseen, h.Unseen)
		}
		assert.Equal(t, tc.want, unseen, name)
	}
}
