package main

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/record"
)

func clockedShop(t *testing.T) clocked {
	t.Helper()
	_, data := shop(t)
	c, err := newClocked(honest{name: "shop", entries: entries(t, data), done: true})
	require.NoError(t, err)
	return c
}

// cue is the place behind the first cue of a step.
func (c clocked) cue(step string) int {
	f := dryrun.Forged{Entries: c.entries}
	return f.Where(record.Cue{}.Kind(), "step", step)[0] + 1
}

func TestClocksThatAreTold(t *testing.T) {
	c := clockedShop(t)
	at := c.cue("walk/2.1")
	assert.NoError(t, c.told(at, time.Hour))
	assert.NoError(t, c.untold(at, time.Hour))
	assert.ErrorAs(t, c.untold(at, time.Millisecond), new(unnoticed), "no law tells so little")
	assert.NoError(t, c.absent(at, func(r *retimed) { r.stopped(time.Second) }))
	assert.ErrorAs(t, c.absent(at, func(*retimed) {}), new(unnoticed))
	assert.NoError(t, c.broken(at, time.Hour))
	assert.NoError(t, c.unwatched(at))
}

// A detector that is late or better than it was, or another's verdict, is noticed.
func TestVerdictsThatAStopChangesAreNoticed(t *testing.T) {
	c := clockedShop(t)
	at := c.cue("walk/2.1")
	got := func(key, is string) outcome {
		o := outcome{}
		for k, v := range c.outcome {
			o[k] = v
		}
		o[key] = is
		return o
	}
	assert.NoError(t, c.verdicts(at, got("verdict walk/2.1", "void")))
	assert.ErrorContains(t, c.verdicts(at, got("verdict walk/2.1", "late")), "walk/2.1: late, and proved")
	assert.ErrorContains(t, c.verdicts(at, got("verdict walk/1.1", "void")), "walk/1.1: void, and proved")
	c.outcome[resultKey] = "unsatisfactory"
	assert.ErrorContains(t, c.verdicts(at, got(resultKey, "satisfactory")), "satisfactory, and unsatisfactory")
}

func TestTimeThatWasNotWatchedAndCountsIsNoticed(t *testing.T) {
	c := clockedShop(t)
	require.NotEmpty(t, c.holds)
	r, err := record.Fold(c.entries)
	require.NoError(t, err)
	assert.NoError(t, c.held(r, 0))
	c.holds[0].Watched -= time.Second
	assert.ErrorContains(t, c.held(r, 0), "count, of")
	c.holds = nil
	assert.ErrorContains(t, c.held(r, 0), "times without mains")
}

// A step of an alarm cannot go on over a break: where one is under way, none is put in.
func TestNoBreakWithinAnAlarm(t *testing.T) {
	c := clockedShop(t)
	f := dryrun.Forged{Entries: c.entries}
	at := f.Where(record.Moment{}.Kind(), "what", string(record.ToIntrude))[0] + 1
	assert.True(t, c.inAlarm(at))
	assert.ErrorContains(t, c.broken(at, time.Hour), "not begun")
	assert.False(t, c.inAlarm(c.cue("walk/2.1")))
}

// No time is measured over a break: the clock of the receiving centre, asked for after it,
// times no alarm from before. Nothing else differs but that the customer signed without it.
func TestABreakBetweenAlarmAndReceiptIsTold(t *testing.T) {
	c := clockedShop(t)
	f := dryrun.Forged{Entries: c.entries}
	at := f.Where(record.Moment{}.Kind(), "step", "alarm/path-1")[0]
	assert.False(t, c.inAlarm(at))
	r := c.before(at)
	r.broken(time.Minute, 0)
	got, err := r.fold()
	require.NoError(t, err)
	told := strings.Join(slices.Collect(maps.Keys(outcomeOf(got))), "\n")
	assert.Contains(t, told, "limitation receipt-not-timed alarm/path-1")
	assert.Equal(t, []string{"new: limitation not-accepted  Customer (advice)"}, differences(c.outcome, outcomeOf(got)))
}
