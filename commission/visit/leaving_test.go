package visit

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// How long it takes to leave while a sounder is on and nothing answers: a second at most
// where something guards it, a quarter of a minute where nothing does, and no time at all
// once the end is asked for again. What is left on is known afterwards.
func TestLeavingWithASounderOn(t *testing.T) {
	alone := ask.LeftOn{Output: "Sounder", Kind: "sounder"}
	for name, tc := range map[string]struct {
		talk  string
		hurry time.Duration // after the end was asked for
		took  time.Duration
		left  ask.LeftOn
	}{
		"guarded": {"sounder-left-to-its-guard", time.Hour, patienceGuarded,
			ask.LeftOn{Output: "Sounder", Kind: "sounder", Within: signal.GuardedWithin}},
		"by nobody":     {"sounder-left-to-nobody", time.Hour, patienceLeaving, alone},
		"asked again":   {"sounder-left-to-nobody", 5 * time.Second, 5 * time.Second, alone},
		"again at once": {"sounder-left-to-nobody", 0, 0, alone},
		"by hand": {"sounder-by-hand-left-on", time.Hour, 0,
			ask.LeftOn{Output: "Sounder", Kind: "sounder", Unsure: true}},
	} {
		t.Run(name, func(t *testing.T) {
			archive, err := txtar.ParseFile("testdata/" + tc.talk + ".txtar")
			require.NoError(t, err)
			synctest.Test(t, func(t *testing.T) {
				k, ctx, hurry := newTalk(t, archive), t.Context(), make(chan struct{})
				ctx, cancel := context.WithCancel(ctx)
				var stopped time.Time
				k.stop = func() {
					stopped = time.Now().Add(2*time.Second + time.Millisecond) // when the question ends
					cancel()
					time.AfterFunc(time.Until(stopped)+tc.hurry, func() { close(hurry) })
				}
				config, opened := k.visit(t, textOf(archive, "answers"))
				config.Hurry = hurry
				v, err := begin(config, journal.On(&disk{}), opened)
				require.NoError(t, err)
				require.ErrorIs(t, v.Run(ctx), context.Canceled)
				assert.InDelta(t, tc.took.Seconds(), time.Since(stopped).Seconds(), 1)
				assert.LessOrEqual(t, time.Since(stopped), max(tc.took, 5*time.Millisecond))
				assert.Equal(t, []ask.LeftOn{tc.left}, v.LeftOn())
				assert.True(t, v.Record().IsOn("Sounder"), "the next run has to deal with it")
				breaksNoLaw(t, v.Record())
				time.Sleep(2 * time.Hour)
			})
		})
	}
}

// Two outputs that are guarded share the second; what is off is not left on.
func TestNothingIsLeftOnWhereTheLinkAnswers(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/sounder-guarded.txtar")
	require.NoError(t, err)
	synctest.Test(t, func(t *testing.T) {
		k := newTalk(t, archive)
		k.events["outputs/Sounder/heard"] = []string{"1s stop; 2s nothing"}
		ctx, cancel := context.WithCancel(t.Context())
		k.stop = cancel
		config, opened := k.visit(t, textOf(archive, "answers"))
		v, err := begin(config, journal.On(&disk{}), opened)
		require.NoError(t, err)
		require.ErrorIs(t, v.Run(ctx), context.Canceled)
		assert.Empty(t, v.LeftOn())
		assert.Empty(t, v.Record().Energised())
		assert.Contains(t, k.said.String(), "let go Sounder")
	})
}

// begunTalk is a visit of a talk that has begun and is not carried out.
func begunTalk(t *testing.T, name, answers string) (*talk, *Visit) {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/" + name + ".txtar")
	require.NoError(t, err)
	k := newTalk(t, archive)
	config, opened := k.visit(t, answers)
	v, err := begin(config, journal.On(&disk{}), opened)
	require.NoError(t, err)
	require.NoError(t, v.add(k.About()))
	return k, v
}

var theSounder = &site.Output{Name: "Sounder", Kind: site.Sounder}

// Of several outputs that are guarded, each has its share of the second.
func TestGuardedOutputsShareTheSecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k, v := begunTalk(t, "sounder-guarded", "answers: [{when: nothing, say: \"\"}]\n")
		require.NoError(t, v.add(record.Energised{Output: "Sounder", On: true, By: record.SwitchedByController}))
		v.guards.set("Sounder", func() {})
		k.hang = 1
		began := time.Now()
		assert.Error(t, v.leaveOff(t.Context(), k, theSounder, 3))
		assert.Equal(t, patienceGuarded/3, time.Since(began))
	})
}

// The end that is asked for while a visit leaves by itself hurries it; where it leaves
// because of that, only the second time does.
func TestWhatHurriesWhoLeaves(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		hurry := make(chan struct{})
		v := &Visit{hurry: hurry}
		asked, ask := context.WithCancel(t.Context())
		byItself, cancel := v.impatience(asked)
		defer cancel()
		synctest.Wait()
		assert.NoError(t, byItself.Err())
		ask()
		synctest.Wait()
		assert.Error(t, byItself.Err())
		asAsked, cancel := v.impatience(asked)
		defer cancel()
		synctest.Wait()
		assert.NoError(t, asAsked.Err())
		close(hurry)
		synctest.Wait()
		assert.Error(t, asAsked.Err())
	})
}

// A pause that is hurried is no longer the technician's: what is on may stay on.
func TestWhyAVisitPauses(t *testing.T) {
	ended, end := context.WithCancel(t.Context())
	end()
	paused, failed := fmt.Errorf("here: %w", ask.ErrPaused), errors.New("no route")
	assert.Equal(t, record.StopByTechnician, pauseReason(t.Context(), paused))
	assert.Equal(t, record.StopByError, pauseReason(t.Context(), failed))
	assert.Equal(t, record.StopAsked, pauseReason(t.Context(), context.Canceled))
	assert.Equal(t, record.StopAsked, pauseReason(ended, paused))
	assert.Equal(t, record.StopAsked, pauseReason(ended, failed))
}

// Where the guard is lost and the output cannot be switched off, the visit ends.
func TestAGuardIsLostAndSoIsTheLink(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k, v := begunTalk(t, "sounder-guarded", "answers: [{when: nothing, say: \"\"}]\n")
		require.NoError(t, v.add(record.Energised{Output: "Sounder", On: true, By: record.SwitchedByController}))
		k.refuse = 1000
		v.guardLost(t.Context(), theSounder, errors.New("hung up"))
		assert.ErrorContains(t, v.ending, "switch Sounder off")
	})
}

// Who says no to what nobody guards lets the other guards go.
func TestWhoDeclinesLetsTheGuardsGo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k, v := begunTalk(t, "sounder-guarded", "answers:\n  - {when: energise/unguarded, say: \"no\"}\n")
		v.source = &hangsUp{k, 0}
		bell := &site.Output{Name: "Bell", Kind: site.Sounder}
		require.NoError(t, v.guardAll(t.Context(), []*site.Output{theSounder}))
		v.source.(*hangsUp).talk.with["no-guard"] = true
		require.ErrorIs(t, v.guardAll(t.Context(), []*site.Output{theSounder, bell}), errBack)
		assert.False(t, v.guards.stand("Sounder"))
		assert.Contains(t, k.said.String(), "let go Sounder")
	})
}

// What an earlier run left on, and this one cannot reach, may be off by now.
func TestWhatAnEarlierRunLeftOnIsNotSure(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		opened := openedFor(t, siteOf(t, oneDoor))
		path := t.TempDir() + "/journal.jsonl"
		w, err := journal.Create(path)
		require.NoError(t, err)
		for _, f := range []record.Fact{opened, record.Energised{Output: "Sounder", On: true, By: "controller"}} {
			_, err := w.Append(morning, f.Kind(), f)
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		b := newBench(t, &timeline{refuse: true}, clock.Real{}, "answers:\n  - {when: nothing, say: \"\"}\n")
		v, err := Resume(b.config, path)
		require.NoError(t, err)
		require.Error(t, v.Run(t.Context()))
		require.NoError(t, v.Close())
		assert.Equal(t, []ask.LeftOn{{Output: "Sounder", Kind: "sounder", Unsure: true}}, v.LeftOn())
	})
}

// hangsUp is a controller whose guards are gone as soon as they were had, so many times.
type hangsUp struct {
	*talk
	times int
}

func (h *hangsUp) GuardOff(ctx context.Context, o *site.Output, lost func(error)) (func(), error) {
	release, err := h.talk.GuardOff(ctx, o, lost)
	if h.times--; h.times >= 0 {
		lost(errors.New("hung up"))
	}
	return release, err
}

// Nothing is energised whose guard was lost before: it is told, and another one is had.
func TestAGuardThatIsLostBeforeTheOutputIsEnergised(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/sounder-guarded.txtar")
	require.NoError(t, err)
	synctest.Test(t, func(t *testing.T) {
		k := newTalk(t, archive)
		config, opened := k.visit(t, textOf(archive, "answers"))
		config.Source = &hangsUp{k, 1}
		v, err := begin(config, journal.On(&disk{}), opened)
		require.NoError(t, err)
		require.NoError(t, v.Run(t.Context()))
		said := k.said.String()
		told, guarded := strings.Index(said, "tell notice/nobody-guards"), strings.LastIndex(said, "guard Sounder")
		assert.Positive(t, told, said)
		assert.Greater(t, guarded, told, said)
		assert.Less(t, guarded, strings.Index(said, "switch Sounder true"), said)
		assert.Equal(t, 1, strings.Count(said, "switch Sounder true"))
		assert.Equal(t, record.Works, v.Record().Find("outputs/Sounder").Result())
	})
}

// A guard that is lost after the output was switched off is no news.
func TestAGuardThatIsLostWhileNothingIsOn(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/sounder-guarded.txtar")
	require.NoError(t, err)
	synctest.Test(t, func(t *testing.T) {
		k := newTalk(t, archive)
		k.events["outputs/Sounder/cut-off"] = []string{"1s unguarded; 2s nothing"}
		config, opened := k.visit(t, textOf(archive, "answers"))
		v, err := begin(config, journal.On(&disk{}), opened)
		require.NoError(t, err)
		require.NoError(t, v.Run(t.Context()))
		assert.NotContains(t, k.said.String(), "guard-lost")
		assert.Equal(t, record.Works, v.Record().Find("outputs/Sounder").Result())
	})
}
