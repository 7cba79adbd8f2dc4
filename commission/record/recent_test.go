package record

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// lateStory is what happens to the door of the site above: the cue is given after ten
// seconds, and everything else at times counted from it.
func lateStory(timeline string) (events []timed) {
	for _, text := range strings.Split(timeline, ";") {
		words := strings.Fields(text)
		if len(words) == 0 {
			continue
		}
		at, err := time.ParseDuration(words[0])
		if err != nil {
			panic(err)
		}
		e := timed{at: 10*time.Second + at}
		switch words[1] {
		case "lost":
			e.fact = signal.Connection{}
		case "back":
			e.fact = signal.Connection{Up: true}
		case "overrun":
			e.fact = signal.Overrun{Lost: 1}
		case "kept":
			e.fact = signal.Signal{Address: words[2], State: signal.State(words[3]), Kept: "retained"}
		default:
			e.fact = signal.Signal{Address: words[1], State: signal.State(words[2])}
		}
		events = append(events, e)
	}
	return events
}

type timed struct {
	at   time.Duration
	fact Fact
}

// toldAt tells facts at their times, the cue of ten seconds once it is delivered, and the
// end of the wait when it comes or, where that is over, at once.
func toldAt(t *testing.T, events []timed, delivered, end time.Duration) *Record {
	t.Helper()
	end = max(end, delivered)
	events = append(
		events,
		timed{delivered, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: (delivered - 10*time.Second).Nanoseconds()}},
		timed{end, Ended{Step: "walk/1.1", By: ByTime}},
	)
	slices.SortStableFunc(events, func(a, b timed) int { return cmp.Compare(a.at, b.at) })
	var all []any
	now := time.Duration(0)
	for _, e := range events {
		if e.at > end {
			break
		}
		all = append(all, e.at-now, e.fact)
		now = e.at
	}
	r, err := told(t, openedHonestly(t, asItIs), all...)
	require.NoError(t, err)
	return r
}

// A cue that is delivered after the signals that answered it is judged as if it had been
// there before them. Limits of the site: response 2 s, listening 15 s, steady 1 s (common
// practice, no source). The expected verdicts are those of a cue that came in time.
func TestALateCueIsJudgedAsOneInTime(t *testing.T) {
	const ms = time.Millisecond
	for _, tc := range []struct {
		name, timeline string
		ends           time.Duration // the wait, counted from the cue
		verdict        Verdict
		response       time.Duration
	}{
		{"answers", "420ms z1 active", 1420 * ms, Proved, 420 * ms},
		{"late", "2600ms z1 active", 3600 * ms, Late, 2600 * ms},
		{"silent", "", 15 * time.Second, Silent, 0},
		{"what came before the cue is no answer", "-300ms z1 active", 15 * time.Second, Silent, 0},
		{"was active, rested and answers", "-1s z1 active; 200ms z1 restored; 900ms z1 active", 1900 * ms, Proved, 900 * ms},
		{"the state before was kept by the broker", "-5s kept z1 active; 500ms z1 restored", 2500 * ms, Inverted, 0},
		{"kept is no answer", "420ms kept z1 active", 15 * time.Second, Silent, 0},
		{"another zone", "500ms z2 active", 2500 * ms, Crossed, 0},
		{"chatter", "400ms z1 active; 500ms z1 restored; 600ms z1 active", 1600 * ms, Unsteady, 400 * ms},
		{"closed again when the wait was over", "420ms z1 active; 5s z1 restored", 1420 * ms, Proved, 420 * ms},
		{"came after the wait", "15100ms z1 active", 15 * time.Second, Silent, 0},
		{"the connection was lost after the wait", "420ms z1 active; 3s lost; 4s back", 1420 * ms, Proved, 420 * ms},
		{"the connection was lost before", "-4s lost; -3s back; 420ms z1 active", 1420 * ms, Proved, 420 * ms},
		{"the connection was lost meanwhile", "100ms lost; 200ms back; 420ms z1 active", 15 * time.Second, Void, 0},
		{"signals were lost meanwhile", "100ms overrun; 420ms z1 active", 15 * time.Second, Void, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			events := lateStory(tc.timeline)
			end := 10*time.Second + tc.ends
			inTime := toldAt(t, events, 10*time.Second, end)
			for _, delivered := range []time.Duration{10050 * ms, 10450 * ms, 30 * time.Second} {
				late := toldAt(t, events, delivered, end)
				want := inTime.Find("walk/1.1").attempts[0].Operate
				got := late.Find("walk/1.1").attempts[0].Operate
				assert.Equal(t, want.Judge(), got.Judge(), "delivered after %s", delivered-10*time.Second)
				assert.Equal(t, tc.verdict, got.Judge().Verdict)
				assert.Equal(t, tc.response, got.Judge().Response)
				assert.Equal(t, want.At(), got.At())
				assert.Equal(t, want.EndedBy(), got.EndedBy())
			}
		})
	}
}

// The uncertainty of a cue adds to that of the source in quadrature (JCGM 100, 5.1.2):
// 30 ms and 40 ms are 50 ms.
func TestACueHasItsOwnUncertainty(t *testing.T) {
	answer := []any{
		420 * time.Millisecond,
		signal.Signal{Address: "z1", State: signal.Active},
		2 * time.Second,
		Ended{Step: "walk/1.1", By: ByTime},
	}
	for name, tc := range map[string]struct {
		cue  Cue
		want time.Duration
	}{
		"none of its own": {Cue{Step: "walk/1.1", Half: Operate}, 30 * time.Millisecond},
		"combined":        {Cue{Step: "walk/1.1", Half: Operate, UncertaintyNS: 4e7}, 50 * time.Millisecond},
	} {
		facts := append(
			[]any{signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 3e7}, tc.cue},
			answer...)
		r, err := told(t, openedHonestly(t, asItIs), facts...)
		require.NoError(t, err, name)
		j := r.Find("walk/1.1").attempts[0].Operate.Judge()
		assert.Equal(t, tc.want, j.Uncertainty, name)
		assert.Equal(t, Proved, j.Verdict, name)
	}
	// 1.96 s is clear of the limit of 2 s by 40 ms: not any more if that is the uncertainty.
	r := toldAt(t, lateStory("1960ms z1 active"), 20*time.Second, 13*time.Second)
	assert.Equal(t, Undecided, r.Find("walk/1.1").attempts[0].Operate.Judge().Verdict)
}

// A cue whose instant cannot be is refused.
func TestCuesOutOfPlaceAreRefused(t *testing.T) {
	cue := func(before time.Duration) Cue {
		return Cue{Step: "walk/1.1", Half: Operate, BeforeNS: before.Nanoseconds()}
	}
	wholeTrial := []any{
		4 * time.Second,
		Cue{Step: "walk/2.1", Half: Operate},
		400 * time.Millisecond,
		signal.Signal{Address: "z2", State: signal.Active},
		2 * time.Second,
		Ended{Step: "walk/2.1", By: ByTime},
		3 * time.Second,
	} // ended at 6.4 s, now 9.4 s
	many := []any{}
	for i := range 2*mostRecent + 1 {
		many = append(
			many,
			time.Millisecond,
			signal.Signal{Address: "z1", State: []signal.State{signal.Active, signal.Restored}[i%2]},
		)
	}
	and := func(facts []any, more any) []any { return append(slices.Clone(facts), more) }
	for name, tc := range map[string]struct {
		facts []any
		says  string
	}{
		"after its entry":            {[]any{9 * time.Second, cue(-time.Nanosecond)}, "after its entry"},
		"known too well":             {[]any{Cue{Step: "walk/1.1", Half: Operate, UncertaintyNS: -1}}, "better than exactly"},
		"before the run":             {[]any{9 * time.Second, cue(9*time.Second + 1)}, "from before this run"},
		"before the run by far":      {[]any{9 * time.Second, cue(1<<63 - 1)}, "from before this run"},
		"before an earlier end":      {and(wholeTrial, cue(3*time.Second+1)), "before the end of an earlier trial"},
		"signals after it forgotten": {and(many, cue(time.Duration(mostRecent+1)*time.Millisecond)), "no longer known"},
		"a cue while another waits":  {[]any{9 * time.Second, cue(time.Second), cue(0)}, "while another trial waits"},
	} {
		_, err := told(t, openedHonestly(t, asItIs), tc.facts...)
		assert.ErrorIs(t, err, ErrNoSense, name)
		assert.ErrorContains(t, err, tc.says, name)
	}
	for name, facts := range map[string][]any{
		"with the run's first entry":    {9 * time.Second, cue(9 * time.Second)},
		"with the end of an earlier":    and(wholeTrial, cue(3*time.Second)),
		"after all that was forgotten":  and(many, cue(time.Duration(mostRecent)*time.Millisecond)),
		"with its entry, much earlier":  and(many, cue(0)),
		"forgotten, but nothing of it":  {9 * time.Second, cue(time.Nanosecond)},
		"of another zone, both in time": and(wholeTrial, cue(0)),
	} {
		_, err := told(t, openedHonestly(t, asItIs), facts...)
		assert.NoError(t, err, name)
	}
}

// What is kept of signals is bounded.
func TestRecentSignalsAreBounded(t *testing.T) {
	var q recent
	for i := range 10 * mostRecent {
		q.add(time.Duration(i), signal.Signal{Address: fmt.Sprint("z", i%3)}, signal.Unknown)
		require.LessOrEqual(t, len(q.events), 2*mostRecent)
	}
	assert.GreaterOrEqual(t, len(q.events), mostRecent)
	assert.Equal(t, q.events[0].elapsed-1, q.reach, "all after it is there")
}

// A cue of an earlier run cannot be delivered in the next.
func TestARunForgetsWhatCameBefore(t *testing.T) {
	r, err := told(t, openedHonestly(t, asItIs), 5*time.Second, signal.Signal{Address: "z1", State: signal.Active})
	require.NoError(t, err)
	require.NotEmpty(t, r.recent.events)
	require.NoError(t, r.resumed(journal.Entry{Run: 2}, Resumed{}))
	assert.Empty(t, r.recent.events)
	assert.Error(t, r.CueFits(-time.Second, 1, false))
}

// What comes between a cue that is delivered when its wait is over and the end of that
// wait is no answer any more.
func TestAWaitThatIsOverHearsNoMore(t *testing.T) {
	facts := []any{
		10 * time.Second, signal.Signal{Address: "z1", State: signal.Active},
		20 * time.Second, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: int64(20*time.Second + 400*time.Millisecond)},
		signal.Signal{Address: "z1", State: signal.Restored},
		time.Millisecond, Ended{Step: "walk/1.1", By: ByTime},
	}
	r, err := told(t, openedHonestly(t, asItIs), facts...)
	require.NoError(t, err)
	j := r.Find("walk/1.1").attempts[0].Operate.Judge()
	assert.Equal(t, Proved, j.Verdict)
	assert.Equal(t, 400*time.Millisecond, j.Response)
	assert.Equal(t, 1400*time.Millisecond, j.Waited)
}

// A cold restart goes on where the connection was lost: it is off because its power is.
func TestALateCueOfARestart(t *testing.T) {
	facts := []any{
		10 * time.Second, signal.Connection{}, 5 * time.Second, signal.Connection{Up: true},
		time.Second, signal.Signal{Address: "z1", State: signal.Restored},
		time.Second, Cue{Step: programme.IDRestart, Half: Operate, BeforeNS: int64(9 * time.Second)},
		Ended{Step: programme.IDRestart, By: ByTime},
	}
	r, err := told(t, openedHonestly(t, asItIs), facts...)
	require.NoError(t, err)
	assert.True(t, r.Find(programme.IDRestart).Concluded())
	assert.Equal(t, 8*time.Second, r.Find(programme.IDRestart).attempts[0].Operate.Heard()[0].Since)
}

// What was known of a zone at an instant is known later, too.
func TestStateThen(t *testing.T) {
	r, err := told(t, openedHonestly(t, asItIs),
		2*time.Second, signal.Signal{Address: "z1", State: signal.Active, Kept: "retained"},
		2*time.Second, signal.Connection{}, signal.Connection{Up: true},
		2*time.Second, signal.Signal{Address: "z1", State: signal.Restored})
	require.NoError(t, err)
	for at, want := range map[time.Duration]signal.State{
		time.Second: signal.Unknown, 3 * time.Second: signal.Active,
		5 * time.Second: signal.Unknown, 7 * time.Second: signal.Restored,
	} {
		assert.Equal(t, want, r.StateThen(at, "z1"), at)
		assert.Equal(t, signal.Unknown, r.StateThen(at, "z2"))
	}
}

// What stands before a cue in the journal and came in the same moment is none of its.
func TestASignalInTheMomentOfACue(t *testing.T) {
	active := signal.Signal{Address: "z1", State: signal.Active}
	cue := Cue{Step: "walk/1.1", Half: Operate}
	r, err := told(t, openedHonestly(t, asItIs), 2*time.Second, active, cue)
	require.NoError(t, err)
	assert.Empty(t, r.trial.Heard())
	r, err = told(t, openedHonestly(t, asItIs), 2*time.Second, cue, active)
	require.NoError(t, err)
	assert.Len(t, r.trial.Heard(), 1)
}
