package visit

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// slowSwitch is a controller that carries out the command on after a while, whoever still waits for it.
type slowSwitch struct {
	*talk
	takes time.Duration
	asked chan struct{}
	on    atomic.Bool
}

func (s *slowSwitch) Energise(ctx context.Context, _ *site.Output, on bool) error {
	if !on {
		s.on.Store(false)
		return nil
	}
	done := make(chan struct{})
	time.AfterFunc(s.takes, func() { s.on.Store(true); close(done) })
	s.asked <- struct{}{}
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

// refusing is a controller that refuses to switch on, some times; and off as well, or is on from the beginning.
type refusing struct {
	*talk
	times   int
	always  bool
	on      bool
	toldOff int
}

func (r *refusing) Energise(_ context.Context, _ *site.Output, on bool) error {
	if !on {
		r.toldOff++
	}
	if on && r.times > 0 || r.always {
		r.times--
		return signal.NotCarriedOutError{Why: errors.New("401 Unauthorized")}
	}
	r.on = on
	return nil
}

// unguardedVisit is a visit with a sounder that nobody guards, switched by a source; it answers every question.
func unguardedVisit(t *testing.T, source func(*talk) signal.Source) (*talk, *Visit) {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/sounder-left-to-nobody.txtar")
	require.NoError(t, err)
	k := newTalk(t, archive)
	k.events = map[string][]string{}
	config, opened := k.visit(t, textOf(archive, "answers"))
	config.Source = source(k)
	v, err := begin(config, journal.On(&disk{}), opened)
	require.NoError(t, err)
	return k, v
}

// What the controller refuses to switch on is off, and asked for again; a controller that never does ends the visit,
// and nothing is said to be on.
func TestWhatIsRefusedIsAskedForAgain(t *testing.T) {
	for name, tc := range map[string]struct {
		times, told  int
		always, isOn bool
	}{
		"once":             {times: 1, told: 1},
		"three times":      {times: 3, told: 3},
		"for ever":         {times: 100, told: mostRefusals - 1},
		"off as well":      {times: 100, told: mostRefusals - 1, always: true},
		"since it is on":   {times: 1, told: 1, isOn: true},
		"for ever, as it ": {times: 100, told: mostRefusals - 1, isOn: true},
	} {
		synctest.Test(t, func(t *testing.T) {
			times, told := tc.times, tc.told
			var r *refusing
			k, v := unguardedVisit(t, func(k *talk) signal.Source {
				r = &refusing{talk: k, times: times, always: tc.always, on: tc.isOn}
				return r
			})
			ctx, cancel := context.WithTimeout(t.Context(), time.Hour)
			defer cancel()
			began := time.Now()
			err := v.Run(ctx)
			assert.Less(t, time.Since(began), 3*time.Minute, name)
			assert.GreaterOrEqual(t, r.toldOff, told, "a controller may refuse to switch on what is on")
			assert.Equal(t, told, strings.Count(k.said.String(), "notice/not-switched-on"), times)
			assert.Equal(t, times >= mostRefusals, err != nil && strings.Contains(err.Error(), "switch Sounder on: 401"), err)
			assert.NotContains(t, k.said.String(), "notice/not-switched-off")
			assert.Empty(t, v.LeftOn())
			assert.Empty(t, v.Record().Energised())
			for _, b := range v.Record().Breaches() {
				assert.Equal(t, record.LawChecklist, b.Law, "the visit has one step")
			}
			assert.False(t, r.on)
		})
	}
}

// Nobody guards the sounder, and the command on is answered late, or not in time: whatever the technician does
// meanwhile, the program does not leave it sounding and say that it is off.
func TestTheCommandOffDoesNotOvertakeTheCommandOn(t *testing.T) {
	for name, tc := range map[string]struct {
		takes  time.Duration
		ctrlC  bool
		unsure bool // that it is off
		sounds bool
	}{
		"broken off meanwhile": {1500 * time.Millisecond, true, false, false},
		"not answered in time": {3500 * time.Millisecond, false, true, false},
		"never seen again":     {time.Minute, false, true, true},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				var s *slowSwitch
				_, v := unguardedVisit(t, func(k *talk) signal.Source {
					s = &slowSwitch{talk: k, takes: tc.takes, asked: make(chan struct{}, 1)}
					return s
				})
				ctx, cancel := context.WithCancel(t.Context())
				defer cancel()
				go func() {
					<-s.asked
					if time.Sleep(500 * time.Millisecond); tc.ctrlC {
						cancel()
					}
				}()
				err := v.Run(ctx)
				require.Error(t, err)
				assert.Equal(t, tc.ctrlC, errors.Is(err, context.Canceled), err)
				if tc.unsure {
					assert.Equal(t, []ask.LeftOn{{Output: "Sounder", Kind: "sounder", Unsure: true, Late: true}}, v.LeftOn())
					assert.NotEmpty(t, v.Record().Energised(), "the next run switches it off")
				} else {
					assert.Empty(t, v.LeftOn())
					assert.Empty(t, v.Record().Energised())
				}
				time.Sleep(2 * time.Minute)
				assert.Equal(t, tc.sounds, s.on.Load())
			})
		})
	}
}

// stuckSwitch switches on at once, and never answers a command off.
type stuckSwitch struct{ *talk }

func (s stuckSwitch) Energise(ctx context.Context, _ *site.Output, on bool) error {
	if on {
		return nil
	}
	<-ctx.Done()
	return context.Cause(ctx)
}

// Nobody guards, and the command off is not answered: to end the program ends to try it again and again.
func TestTheEndIsHeardWhileTheCommandOffIsTried(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, v := unguardedVisit(t, func(k *talk) signal.Source { return stuckSwitch{k} })
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		time.AfterFunc(5*time.Second, cancel)
		began := time.Now()
		require.ErrorIs(t, v.Run(ctx), context.Canceled)
		assert.Less(t, time.Since(began), 5*time.Second+patienceLeaving+switchLimit)
		assert.Equal(t, []ask.LeftOn{{Output: "Sounder", Kind: "sounder"}}, v.LeftOn())
	})
}
