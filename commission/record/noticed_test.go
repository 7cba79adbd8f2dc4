package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// Each of these notices one change of a number or a line that nothing else would.

// A person who is still in view may set a motion detector off a few times; more than
// maxFlips changes after the first rest is no person.
func TestHowOftenAPersonInViewMayFlipADetector(t *testing.T) {
	s := readSite(t, trialSite)
	rest := func(changes int) Verdict {
		trial := newTrial(s, s.Zone(3), Restore, 50*time.Millisecond, signal.Active)
		at := time.Second
		for i := range changes + 1 { // the first brings it to rest
			state := signal.Restored
			if i%2 == 1 {
				state = signal.Active
			}
			trial.hear(Heard{Since: at, Address: "z3", State: state})
			at += 100 * time.Millisecond
		}
		trial.endedBy, trial.ended = ByTime, trial.Deadline()
		return trial.Judge().Verdict
	}
	assert.Equal(t, Proved, rest(6))
	assert.Equal(t, Unsteady, rest(8))
}

// An operation that was broken off counts as a miss as soon as its limit has passed.
func TestWhenABrokenOffTrialIsAMiss(t *testing.T) {
	s := readSite(t, trialSite)
	missed := func(by End, after time.Duration, heard ...Heard) bool {
		trial := newTrial(s, s.Zone(1), Operate, 50*time.Millisecond, signal.Restored)
		for _, h := range heard {
			trial.hear(h)
		}
		trial.endedBy, trial.ended = by, after
		return trial.Missed()
	}
	assert.False(t, missed(ByAgain, 2*time.Second), "the limit has not passed")
	assert.True(t, missed(ByAgain, 2*time.Second+time.Nanosecond))
	assert.True(t, missed(BySkip, 2500*time.Millisecond))
	assert.True(t, missed(BySilent, time.Second), "the technician says that nothing came")
	assert.True(t, missed(ByTime, 15*time.Second))
	assert.False(t, missed(ByLost, time.Minute), "nothing could be heard")
	assert.False(t, missed(ByPause, time.Minute))
	assert.False(t, missed(ByAgain, time.Minute, Heard{Since: time.Second, Address: "z1", State: signal.Active}))
}

// What a zone reported is not known any more after a break, or when the connection to
// the controller was lost.
func TestStatesAreForgottenOverABreak(t *testing.T) {
	active := signal.Signal{Address: "z1", State: signal.Active}
	r, err := told(t, openedHonestly(t, asItIs), signal.Connection{Up: true}, active)
	require.NoError(t, err)
	assert.Equal(t, signal.Active, r.StateOf("z1"))
	r, err = told(t, openedHonestly(t, asItIs), signal.Connection{Up: true}, active, signal.Connection{Up: false})
	require.NoError(t, err)
	assert.Equal(t, signal.Unknown, r.StateOf("z1"))
	r, err = told(t, openedHonestly(t, asItIs), active, Paused{By: StopByTechnician}, Resumed{})
	require.NoError(t, err)
	assert.Equal(t, signal.Unknown, r.StateOf("z1"))
	assert.False(t, r.Connected())
	assert.Equal(t, 2, r.Runs())
}

// No clock is farther from UTC than 14 hours (Line Islands; the tz database).
func TestFarthestOffsetFromUTC(t *testing.T) {
	for offset, fits := range map[int]bool{
		14 * 3600: true, -14 * 3600: true, 14*3600 + 1: false, -14*3600 - 1: false, 99 * 3600: false,
	} {
		o := openedHonestly(t, asItIs)
		o.UTCOffset = offset
		_, err := told(t, o)
		assert.Equal(t, fits, err == nil, offset)
	}
}

// Removing mains opens what restores it; putting it back closes nothing by itself.
func TestMainsHasToComeBack(t *testing.T) {
	done := func(id string) Answer { return Answer{Step: id, Result: Done} }
	r, err := told(t, openedHonestly(t, asItIs), done(programme.IDMainsOff))
	require.NoError(t, err)
	assert.False(t, r.MainsOff().IsZero())
	r, err = told(t, openedHonestly(t, asItIs), done(programme.IDMainsOff), done(programme.IDMainsOn))
	require.NoError(t, err)
	assert.True(t, r.MainsOff().IsZero())
	r, err = told(t, openedHonestly(t, asItIs), done(programme.IDMainsOff), done(programme.IDMainsOn),
		done(programme.IDMainsOff))
	require.NoError(t, err)
	assert.False(t, r.MainsOff().IsZero())
	assert.False(t, r.Find(programme.IDMainsOn).Concluded())
	r, err = told(t, openedHonestly(t, asItIs), Answer{Step: programme.IDMainsOff, Result: LeftOut, Remark: "no outlet"})
	require.NoError(t, err)
	assert.True(t, r.MainsOff().IsZero(), "left out, nothing was removed")
}
