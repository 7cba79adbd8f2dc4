package visit

import (
	"context"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// far is an operator whose technician is out of reach when they say that they are
// ready: they are told to operate there and then, and we hear of it later.
type far struct {
	ask.Operator
	ready []func() ask.Pressed // one after the other; what happens until we hear
}

func (o *far) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if !strings.HasSuffix(w.ID, "/ready") || len(o.ready) == 0 {
		return o.Operator.Watch(ctx, w)
	}
	happens := o.ready[0]
	o.ready = o.ready[1:]
	keys := make(chan ask.Pressed, 1)
	go func() { keys <- happens() }()
	return farWatching{keys}, nil
}

type farWatching struct{ keys chan ask.Pressed }

func (w farWatching) Pressed() <-chan ask.Pressed { return w.keys }
func (farWatching) Status(ask.Phrase)             {}
func (farWatching) Say(ask.Notice)                {}
func (farWatching) Close()                        {}

// A cue that was given out of reach counts from where it was given, with its own
// uncertainty beside the source's: 30 ms and 40 ms are 50 ms (JCGM 100, 5.1.2). One that
// cannot be taken any more is given again.
func TestACueThatWasGivenOutOfReach(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := siteOf(t, oneDoor)
		source := &timeline{restore: "600ms z1 restored"}
		b := newBench(t, uncertain{source}, clock.Real{}, noAnswers)
		b.config.Readers = []Reader{source}
		operated := func() ask.Pressed {
			time.Sleep(2 * time.Second)
			given := time.Now()
			time.Sleep(700 * time.Millisecond)
			source.to.Signal(active("z1"))
			time.Sleep(30 * time.Second)
			return ask.Pressed{Key: ask.Ready, At: given, Uncertainty: 120 * time.Millisecond}
		}
		b.config.Operator = &far{b.config.Operator, []func() ask.Pressed{
			func() ask.Pressed { return ask.Pressed{Key: ask.Ready, At: time.Now().Add(-time.Hour)} },
			operated,
		}}
		opened := openedFor(t, s)
		opened.Programme = []programme.Step{
			{ID: "walk/1.1", Stage: programme.StageWalkTest, Kind: programme.StepDetector, Point: "1.1", Zone: 1},
		}
		path, r, err := b.start(t, t.Context(), s, opened)
		require.NoError(t, err, b.out.String())
		assert.Contains(t, b.out.String(), "This cue cannot be taken any more")
		d := judge.Assess(r).Detectors()[0]
		assert.Equal(t, record.Proved, d.Verdict)
		assert.Equal(t, 700*time.Millisecond, d.Operated.Response)
		assert.InDelta(t, 130*time.Millisecond, d.Operated.Uncertainty, 1)
		assert.Equal(t, 600*time.Millisecond, d.Restored.Response)
		assert.Equal(t, 50*time.Millisecond, d.Restored.Uncertainty)
		assert.Equal(t, 1, d.Trials)

		contents, err := journal.ReadFile(path)
		require.NoError(t, err)
		folded, err := record.Fold(contents.Entries)
		require.NoError(t, err)
		assert.Equal(t, r, folded, "the live record is the folded one")
		breaksNoLaw(t, folded)
	})
}

// uncertain is a timeline that knows its times within 50 ms.
type uncertain struct{ *timeline }

func (uncertain) About() signal.Listening {
	return signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: int64(50 * time.Millisecond)}
}

// A key that was pressed out of reach counts when it was pressed, too.
func TestAChimeThatWasHeardOutOfReach(t *testing.T) {
	v := &Visit{clock: clock.NewSimulated(morning)}
	cue := morning.Add(-5 * time.Second)
	assert.Equal(t, morning, v.instantOf(ask.Pressed{Key: ask.Heard}, cue), "now")
	assert.Equal(
		t,
		morning.Add(-time.Second),
		v.instantOf(ask.Pressed{Key: ask.Heard, At: morning.Add(-time.Second)}, cue),
	)
	assert.Equal(
		t,
		cue,
		v.instantOf(ask.Pressed{Key: ask.Heard, At: morning.Add(-time.Minute)}, cue),
		"no answer comes before its cue",
	)
	assert.Equal(
		t,
		morning,
		v.instantOf(ask.Pressed{Key: ask.Heard, At: morning.Add(time.Minute)}, cue),
		"nor from the future",
	)
}
