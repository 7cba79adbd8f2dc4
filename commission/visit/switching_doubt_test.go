package visit

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
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

// Nobody guards the sounder, and the command on is answered late, or not in time: whatever the technician does
// meanwhile, the program does not leave it sounding and say that it is off.
func TestTheCommandOffDoesNotOvertakeTheCommandOn(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/sounder-left-to-nobody.txtar")
	require.NoError(t, err)
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
				k := newTalk(t, archive)
				k.events = map[string][]string{}
				config, opened := k.visit(t, textOf(archive, "answers"))
				s := &slowSwitch{talk: k, takes: tc.takes, asked: make(chan struct{}, 1)}
				config.Source = s
				v, err := begin(config, journal.On(&disk{}), opened)
				require.NoError(t, err)
				ctx, cancel := context.WithCancel(t.Context())
				defer cancel()
				go func() {
					<-s.asked
					if time.Sleep(500 * time.Millisecond); tc.ctrlC {
						cancel()
					}
				}()
				err = v.Run(ctx)
				require.Error(t, err)
				assert.Equal(t, tc.ctrlC, errors.Is(err, context.Canceled), err)
				if tc.unsure {
					assert.Equal(t, []ask.LeftOn{{Output: "Sounder", Kind: "sounder", Unsure: true}}, v.LeftOn())
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
