package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// What a signal tells outside of trials: the state of an address of the site, also where
// it is an old report, and nothing more.
func TestStatesOfAddresses(t *testing.T) {
	byHand := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, ByHand: true}
	heard := func(address string, state signal.State, kept string) signal.Signal {
		return signal.Signal{Address: address, State: state, Kept: kept, Raw: "raw " + string(state)}
	}
	for name, tc := range map[string]struct {
		facts     []any
		z1        signal.State
		garbled   string
		strangers map[string]int
	}{
		"nothing": {nil, signal.Unknown, "", map[string]int{}},
		"live":    {[]any{heard("z1", signal.Active, "")}, signal.Active, "", map[string]int{}},
		"kept": {[]any{heard("z1", signal.Restored, "retained")}, signal.Restored, "",
			map[string]int{}},
		"the latest": {[]any{heard("z1", signal.Active, ""), heard("z1", signal.Restored, "")},
			signal.Restored, "", map[string]int{}},
		"of another address": {[]any{heard("z2", signal.Active, "")}, signal.Unknown, "", map[string]int{}},
		"trouble changes nothing": {[]any{heard("z1", signal.Active, ""), heard("z1", signal.Trouble, "")},
			signal.Active, "", map[string]int{}},
		"nor tamper of a door": {[]any{heard("z1", signal.Restored, ""), heard("z1", signal.Tamper, "")},
			signal.Restored, "", map[string]int{}},
		"what nobody understands": {[]any{heard("z1", signal.NotUnderstood, ""), heard("z1", signal.Active, "")},
			signal.Active, "raw not understood", map[string]int{}},
		"keys tell no state": {[]any{byHand, heard("z1", signal.Active, "")}, signal.Unknown, "",
			map[string]int{}},
		"strangers are counted": {[]any{heard("far", signal.Active, ""), heard("far", signal.Restored, ""),
			heard("x", signal.NotUnderstood, "")}, signal.Unknown, "", map[string]int{"far": 2, "x": 1}},
		"but not what was kept there": {[]any{heard("far", signal.Active, "retained")}, signal.Unknown, "",
			map[string]int{}},
	} {
		r := recordOf(t, tc.facts...)
		assert.Equal(t, tc.z1, r.StateOf("z1"), name)
		assert.Equal(t, signal.Unknown, r.StateOf("far"), name)
		assert.Equal(t, tc.garbled, r.Garbled("z1"), name)
		assert.Equal(t, tc.strangers, r.Strangers(), name)
		signals := 0
		for _, f := range tc.facts {
			if _, is := f.(signal.Signal); is {
				signals++
			}
		}
		assert.Equal(t, signals, r.Signals(), name)
	}
}

// A trial hears live signals of the site only.
func TestWhatATrialHears(t *testing.T) {
	r := recordOf(t, signal.Signal{Address: "z1", State: signal.Restored}, 2*time.Second,
		Cue{Step: "walk/1.1", Half: Operate}, 300*time.Millisecond,
		signal.Signal{Address: "z1", State: signal.Active, Kept: "repeated"},
		signal.Signal{Address: "far", State: signal.Active}, 100*time.Millisecond,
		signal.Signal{Address: "z2", State: signal.Active, Raw: "on"})
	trial, on := r.Trial()
	assert.Equal(t, "walk/1.1", on.Step().ID)
	assert.Equal(t, []Heard{{Since: 400 * time.Millisecond, Address: "z2", State: signal.Active, Raw: "on"}}, trial.Heard())
	assert.Equal(t, Operate, trial.Half())
	assert.Equal(t, 1, trial.Zone().Number)
	assert.Equal(t, at(2*time.Second), trial.At())
	assert.Equal(t, 50*time.Millisecond, trial.Rules().Uncertainty)
	assert.Equal(t, End(""), trial.EndedBy())
	assert.Equal(t, Void, trial.Judge().Verdict, "it waits still")
	assert.Equal(t, 700*time.Millisecond, r.SinceCue(2700*time.Millisecond))
	assert.False(t, trial.MainsOff())
}

// The state before a cue decides what counts as an answer. Keys tell none: each half
// begins where the other ends.
func TestTheStateBeforeACue(t *testing.T) {
	byHand := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, ByHand: true}
	pressed := func(h Half, state signal.State) []any {
		return []any{Cue{Step: "walk/1.1", Half: h}, 400 * time.Millisecond,
			signal.Signal{Address: "z1", State: state}, 15 * time.Second, Ended{Step: "walk/1.1", By: ByTime}}
	}
	operated := story([]any{byHand}, pressed(Operate, signal.Active))
	for name, tc := range map[string]struct {
		facts   []any
		verdict Verdict
	}{
		"a door that was open already answers with nothing new": {story([]any{signal.Signal{Address: "z1",
			State: signal.Active}}, pressed(Operate, signal.Active)), Silent},
		"the state before is not known": {pressed(Operate, signal.Restored), Inverted},
		"by hand, opened":               {operated, Proved},
		"by hand, a key for what it was before": {story([]any{byHand}, pressed(Operate,
			signal.Restored)), Silent},
		"by hand, closed": {story(operated, pressed(Restore, signal.Restored)),
			Proved},
		"by hand, open still": {story(operated, pressed(Restore, signal.Active)),
			Silent},
	} {
		attempt := recordOf(t, tc.facts...).Find("walk/1.1").Attempts()[0]
		last := attempt.Operate
		if attempt.Restore != nil {
			last = attempt.Restore
		}
		assert.Equal(t, tc.verdict, last.Judge().Verdict, name)
	}
}

// Any simulated part makes the visit a simulated one, also when a real one follows.
func TestSimulated(t *testing.T) {
	source := func(simulated bool) signal.Listening {
		return signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, Simulated: simulated}
	}
	for name, tc := range map[string]struct {
		facts []any
		is    bool
	}{
		"neither":                {[]any{source(false), Instrument{Step: "supply/voltmeter", Name: "m"}}, false},
		"a source":               {[]any{source(true)}, true},
		"a source before a real": {[]any{source(true), source(false)}, true},
		"the voltmeter":          {[]any{Instrument{Step: "supply/voltmeter", Name: "m", Simulated: true}}, true},
	} {
		assert.Equal(t, tc.is, recordOf(t, tc.facts...).Simulated(), name)
	}
	r := recordOf(t, signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand})
	assert.Equal(t, signal.ByWatching, r.Listening().Way)
	assert.Len(t, r.Sources(), 2)
	assert.Zero(t, (&Record{}).Listening())
}
