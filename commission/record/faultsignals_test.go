package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// says is what the controller says of mains.
func says(present bool) signal.System {
	return signal.System{Aspect: signal.MainsFault, Present: present}
}

func keptAs(present bool) signal.System {
	s := says(present)
	s.Kept = signal.Retained
	return s
}

// What becomes of a fault, by what came when. Times run from what was said, and are bounded
// by what was not watched.
func TestFaultSignals(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	const s = time.Second
	again := []any{time.Hour, Resumed{}, suppliesTold}
	for name, tc := range map[string]struct {
		facts    []any
		is       FaultSignal // as far as it is compared
		reported *Noticed
		cleared  *Noticed
		done     bool // the step is
	}{
		"reported and cleared": {[]any{off, 8 * s, says(true), 60 * s, on, 5 * s, says(false)},
			FaultSignal{Lasted: 68 * s, Since: 5 * s}, &Noticed{After: 8 * s, AtMost: 8 * s},
			&Noticed{After: 5 * s, AtMost: 5 * s}, true},
		"never": {[]any{off, 60 * s, on, 5 * s, noted()}, FaultSignal{Lasted: 60 * s, Since: 5 * s}, nil, nil,
			false},
		"only after it ended": {[]any{off, 60 * s, on, s, says(true), s, says(false)},
			FaultSignal{Lasted: 60 * s, Since: 2 * s}, nil, nil, false},
		"cleared before it was reported": {[]any{off, 8 * s, says(false), on, 5 * s, says(false)},
			FaultSignal{Lasted: 8 * s, Since: 5 * s}, nil, nil, false},
		"not cleared": {[]any{off, 8 * s, says(true), on, 99 * s, says(true)},
			FaultSignal{Lasted: 8 * s, Since: 99 * s}, &Noticed{After: 8 * s, AtMost: 8 * s}, nil, false},
		"before it was said, and cleared so": {[]any{says(true), 5 * s, off, 60 * s, says(false), 3 * s, on},
			FaultSignal{Lasted: 63 * s}, &Noticed{Early: true}, &Noticed{Early: true}, true},
		"long before": {[]any{says(true), 121 * s, off, 9 * s, on}, FaultSignal{Lasted: 9 * s, Before: true}, nil, nil,
			false},
		"kept from before": {[]any{keptAs(true), s, off, 9 * s, on}, FaultSignal{Lasted: 9 * s, Before: true}, nil, nil,
			false},
		"gone while it lasted": {[]any{off, 8 * s, says(true), s, says(false), 121 * s, on},
			FaultSignal{Lasted: 130 * s, Lapsed: true}, &Noticed{After: 8 * s, AtMost: 8 * s}, &Noticed{Early: true}, true},
		"gone and there again": {[]any{off, 8 * s, says(true), s, says(false), s, says(true), 121 * s, on, 2 * s,
			says(false)}, FaultSignal{Lasted: 131 * s, Since: 2 * s}, &Noticed{After: 8 * s, AtMost: 8 * s},
			&Noticed{After: 2 * s, AtMost: 2 * s}, true},
		"over a break": {append(append([]any{keptAs(false), off, 2 * s, noted()}, again...), s, keptAs(true), s, on),
			FaultSignal{Lasted: 4 * s, Cut: true}, &Noticed{After: 3 * s, AtMost: time.Hour + 3*s, Kept: true}, nil, false},
		"kept, of nobody knows when": {append(append([]any{off, 2 * s, noted()}, again...), s, keptAs(true), s, on),
			FaultSignal{Lasted: 4 * s, Cut: true}, nil, nil, false},
		"the connection is lost": {[]any{off, 2 * s, signal.Connection{Why: signal.Broken}, s, signal.Connection{Up: true},
			on}, FaultSignal{Lasted: 3 * s, Cut: true}, nil, nil, false},
		"lost after it ended": {[]any{off, 2 * s, says(true), s, on, s, signal.Connection{Why: signal.Broken}, s,
			signal.Connection{Up: true}},
			FaultSignal{Lasted: 3 * s, Since: 2 * s, CutAfter: true}, &Noticed{After: 2 * s, AtMost: 2 * s}, nil, false},
		"said again": {[]any{off, 2 * s, says(true), 200 * s, Reopened{Step: programme.IDMainsOff}, off, s, on},
			FaultSignal{Lasted: s}, &Noticed{Early: true}, nil, false},
		"once more, never cleared between": {[]any{off, 2 * s, says(true), s, on, 9 * s, off, s, on},
			FaultSignal{Lasted: s, Before: true}, nil, nil, false},
		"once more": {[]any{off, 2 * s, says(true), s, on, s, says(false), s, off, 3 * s, says(true), on},
			FaultSignal{Lasted: 3 * s}, &Noticed{After: 3 * s, AtMost: 3 * s}, nil, false},
	} {
		r := recordOf(t, append([]any{suppliesTold}, tc.facts...)...)
		f, made := r.FaultSignal(signal.MainsFault)
		require.True(t, made, name)
		for _, n := range []*Noticed{f.Reported, f.Cleared} {
			if n != nil {
				assert.NotZero(t, n.Entry, name)
				assert.False(t, n.At.IsZero(), name)
				n.Entry, n.At = 0, time.Time{}
			}
		}
		assert.Equal(t, tc.reported, f.Reported, name)
		assert.Equal(t, tc.cleared, f.Cleared, name)
		assert.True(t, f.Told, name)
		assert.Equal(t, tc.is, FaultSignal{Lasted: f.Lasted, Since: f.Since, Cut: f.Cut, CutAfter: f.CutAfter,
			Before: f.Before,
			Lapsed: f.Lapsed}, name)
		assert.Equal(t, tc.done, r.Find(programme.IDMainsFault).Concluded(), name)
	}
}

// A battery that is disconnected has to be connected before anybody signs; that it was
// disconnected may be taken back.
func TestABatteryThatIsOff(t *testing.T) {
	off, on := answer(programme.IDBatteryOff, Done), answer(programme.IDBatteryOn, Done)
	isOff := func(facts ...any) (bool, bool) {
		r := recordOf(t, facts...)
		return !r.BatteryOff().IsZero(), r.Find(programme.IDBatteryOn).Concluded()
	}
	for name, tc := range map[string]struct {
		facts             []any
		isOff, isAnswered bool
	}{
		"never":             {nil, false, false},
		"disconnected":      {[]any{off}, true, false},
		"and connected":     {[]any{off, on}, false, true},
		"once more":         {[]any{off, on, off}, true, false},
		"a slip":            {[]any{off, answer(programme.IDBatteryOff, LeftOut)}, false, false},
		"not connected":     {[]any{off, answer(programme.IDBatteryOn, LeftOut)}, true, true},
		"over a break":      {[]any{off, noted(), time.Hour, Resumed{}, overMQTT}, true, false},
		"connected, unsaid": {[]any{on}, false, true},
	} {
		off, answered := isOff(tc.facts...)
		assert.Equal(t, tc.isOff, off, name)
		assert.Equal(t, tc.isAnswered, answered, name)
	}
}

// Whether a battery charges is answered by an indication of that step alone.
func TestWhatAnIndicationAnswers(t *testing.T) {
	r := recordOf(t, answer(programme.IDCharging, No))
	assert.True(t, r.Find(programme.IDCharging).Concluded())
	_, err := told(t, openedHonestly(t, asItIs), overMQTT, answer(programme.IDMainsPresent, Yes))
	assert.ErrorContains(t, err, "answer")
}
