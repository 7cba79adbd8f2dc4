package record

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// Facts that several tests tell, and what reads them. A story of told begins on
// 2026-11-24 at 09:00 UTC; durations in it let time pass.

const (
	checkStep = "inspection/fixing"
	chimeStep = "outputs/Chime/zone-1"
)

func at(since time.Duration) time.Time {
	return time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC).Add(since)
}

// recordOf is what an honest handover with these facts says.
func recordOf(t *testing.T, facts ...any) *Record {
	t.Helper()
	r, err := told(t, openedHonestly(t, asItIs), facts...)
	require.NoError(t, err)
	return r
}

// refuses asserts that the last of the facts makes no sense, and only it.
func refuses(t *testing.T, says string, facts ...any) {
	t.Helper()
	recordOf(t, facts[:len(facts)-1]...)
	_, err := told(t, openedHonestly(t, asItIs), facts...)
	assert.ErrorIs(t, err, ErrNoSense)
	assert.ErrorContains(t, err, says)
}

// take is one more entry, of a run and a time that told does not have. The first entry of a
// run begins its clock.
func take(t *testing.T, r *Record, run int, since time.Duration, f Fact) error {
	t.Helper()
	e := entryOf(t, r.Entries()+1, run, at(since), since, f)
	if run != r.run {
		e.Elapsed = 0
	}
	return r.Take(e)
}

// entryOf is an entry of a run.
func entryOf(t *testing.T, n, run int, at time.Time, elapsed time.Duration, f Fact) journal.Entry {
	t.Helper()
	return journal.Entry{N: n, At: at, Run: run, Elapsed: elapsed, Kind: f.Kind(), Body: bodyOf(t, f)}
}

// bodyOf is a fact as a journal has it.
func bodyOf(t *testing.T, f Fact) json.RawMessage {
	t.Helper()
	body, err := journal.Marshal(f)
	require.NoError(t, err)
	return body
}

// story joins parts of a story.
func story(parts ...[]any) []any { return slices.Concat(parts...) }

// half is a cue, an answer of an address after 400 ms, and a wait that was watched to
// its end.
func half(step string, h Half, address string, state signal.State) []any {
	return []any{Cue{Step: step, Half: h}, 400 * time.Millisecond, signal.Signal{Address: address, State: state},
		time.Second, Ended{Step: step, By: ByTime}}
}

// tried is both halves at a contact that answers as it should.
func tried(step, address string) []any {
	return story(half(step, Operate, address, signal.Active), half(step, Restore, address, signal.Restored))
}

// decibels is a level as somebody types it, 3 m from the sounder.
func decibels(level float64) Reading {
	return Reading{Step: "outputs/Sounder", Quantity: LevelReading, Value: level, Unit: "dB", Distance: 3,
		AsTyped: checks.FormatNumber(level) + " dB at 3 m"}
}

func answer(id string, result Result) Answer { return Answer{Step: id, Result: result} }

func stepIDs(outcomes []*Outcome) (ids []string) {
	for _, o := range outcomes {
		ids = append(ids, o.Step().ID)
	}
	return ids
}

// without leaves out the steps of a stage.
func without(stage programme.Stage) func([]programme.Step) []programme.Step {
	return func(p []programme.Step) []programme.Step {
		return slices.DeleteFunc(p, func(s programme.Step) bool { return s.Stage == stage })
	}
}
