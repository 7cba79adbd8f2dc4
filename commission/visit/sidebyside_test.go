package visit

import (
	"context"
	"errors"
	"sync"
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

// hubs switch an output each; one of them answers no command off.
type hubs struct {
	*talk
	dead string

	mu   sync.Mutex
	offs map[string][]time.Time // when commands off came
}

func (h *hubs) Energise(ctx context.Context, o *site.Output, on bool) error {
	if on {
		return nil
	}
	h.mu.Lock()
	h.offs[o.Name] = append(h.offs[o.Name], time.Now())
	h.mu.Unlock()
	if o.Name != h.dead {
		return nil
	}
	<-ctx.Done()
	return context.Cause(ctx)
}

// underAlarmLoad is a visit in which all that an alarm energises is on, switched by hubs of which one is dead.
func underAlarmLoad(t *testing.T, hurry <-chan struct{}) (h *hubs, v *Visit, off func(wayOut bool) error) {
	t.Helper()
	archive, err := txtar.ParseFile("testdata/alarm-load.txtar")
	require.NoError(t, err)
	k := newTalk(t, archive)
	k.events = map[string][]string{}
	config, opened := k.visit(t, "answers: [{when: energise/unguarded, say: \"yes\"}]\n")
	h = &hubs{talk: k, dead: "Flash", offs: map[string][]time.Time{}}
	config.Source, config.Hurry = h, hurry
	v, err = begin(config, journal.On(&disk{}), opened)
	require.NoError(t, err)
	require.NoError(t, v.add(k.About()))
	off, err = v.switchOnAll(t.Context(), v.record.Site().AlarmOutputs(), record.LongestLoad)
	require.NoError(t, err)
	return h, v, off
}

// No output goes on sounding because another does not answer the command off: not when the technician has answered, and
// not on the way out, however impatient.
func TestNoOutputWaitsForAnother(t *testing.T) {
	for name, ends := range map[string]func(t *testing.T, v *Visit, off func(bool) error, hurry chan struct{}){
		"answered": func(t *testing.T, _ *Visit, off func(bool) error, _ chan struct{}) {
			t.Helper()
			require.Error(t, off(false))
		},
		"on the way out": func(t *testing.T, v *Visit, off func(bool) error, _ chan struct{}) {
			t.Helper()
			require.NoError(t, off(true))
			require.Error(t, v.leave(t.Context(), errors.New("why")))
			assert.Equal(t, []ask.LeftOn{{Output: "Flash", Kind: "strobe", Within: signal.GuardedWithin}}, v.LeftOn())
			assert.Equal(t, []string{"Horn"}, v.wentOff)
		},
		"in a hurry": func(t *testing.T, v *Visit, off func(bool) error, hurry chan struct{}) {
			t.Helper()
			require.NoError(t, off(true))
			ctx, cancel := context.WithCancel(t.Context())
			cancel()
			time.AfterFunc(time.Second, func() { close(hurry) })
			require.Error(t, v.leave(ctx, context.Canceled))
			assert.Equal(t, []string{"Horn"}, v.wentOff)
		},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				hurry := make(chan struct{})
				h, v, off := underAlarmLoad(t, hurry)
				began := time.Now()
				ends(t, v, off, hurry)
				require.NotEmpty(t, h.offs["Horn"])
				assert.LessOrEqual(t, h.offs["Horn"][0].Sub(began), waitsForOne)
				assert.False(t, v.isOn("Horn"))
				assert.True(t, v.isOn("Flash"))
			})
		})
	}
}

// conflicting refuses to switch on, as what is on already may be, and does not answer the command off.
type conflicting struct{ *talk }

func (conflicting) Energise(ctx context.Context, _ *site.Output, on bool) error {
	if on {
		return signal.NotCarriedOutError{Why: errors.New("409 Conflict")}
	}
	<-ctx.Done()
	return context.Cause(ctx)
}

// What refuses to be switched on, and does not answer the command off, is perhaps on.
func TestRefusedAndNotAnswered(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, v := unguardedVisit(t, func(k *talk) signal.Source { return conflicting{k} })
		require.ErrorContains(t, v.Run(t.Context()), "409 Conflict")
		assert.Equal(t, []ask.LeftOn{{Output: "Sounder", Kind: "sounder", Unsure: true}}, v.LeftOn())
		assert.Equal(t, []string{"Sounder"}, v.Record().Energised(), "the next run switches it off")
	})
}
