package visit

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// Who delivers is told when all that was delivered is durable, and never before.
func TestKept(t *testing.T) {
	const patient, impatient = time.Hour / 2, time.Second
	for name, tc := range map[string]struct {
		prepare  func(*Visit, *disk)
		signals  int
		waits    time.Duration
		lost     bool
		fails    bool
		after    time.Duration
		atLeast  int // signals on the disk when it is told
		meantime func(*Visit)
	}{
		"nothing delivered": {nil, 0, patient, false, false, 0, 0, nil},
		"one":               {nil, 1, patient, false, false, 20 * time.Millisecond, 1, nil},
		"many in one sync":  {nil, 500, patient, false, false, 20 * time.Millisecond, 500, nil},
		"more than share a sync": {nil, 2 * mostAtOnce, patient, false, false, 40 * time.Millisecond,
			2 * mostAtOnce, nil},
		"while another thing is written": {nil, 3, patient, false, false, 40 * time.Millisecond, 3,
			func(v *Visit) {
				_, _, err := v.cue(v.record.Find("walk/1.1"), record.Operate, ask.Pressed{})
				if err != nil {
					panic(err)
				}
			}},
		"a stalled disk":     {func(_ *Visit, d *disk) { d.slow = time.Hour }, 1, impatient, false, true, time.Second, 0, nil},
		"a dead disk":        {func(_ *Visit, d *disk) { d.good = d.syncs }, 1, patient, false, true, 20 * time.Millisecond, 0, nil},
		"a faulty one":       {func(_ *Visit, d *disk) { d.faulty = true }, 1, impatient, false, true, time.Second, 0, nil},
		"no room":            {func(v *Visit, _ *disk) { v.intake.most = 2 }, 3, patient, true, false, 0, 0, nil},
		"no room for others": {func(v *Visit, _ *disk) { v.intake.keeping.lost = true }, 1, patient, true, false, 0, 0, nil},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
				d := &disk{slow: 20 * time.Millisecond}
				v := b.on(t, d, "walk/1.1")
				if tc.prepare != nil {
					d.set(func(d *disk) { tc.prepare(v, d) })
				}
				if tc.meantime != nil {
					go tc.meantime(v)
					synctest.Wait()
				}
				to := receiver{v}
				for range tc.signals {
					to.Signal(active("z1"))
				}
				begun := time.Now()
				wait, err := to.Kept()
				stop := v.keepWriting()
				if tc.lost {
					assert.ErrorIs(t, err, signal.ErrNotKept)
					_, err = to.Kept()
					assert.NoError(t, err, "it is told once")
					stop()
					return
				}
				require.NoError(t, err)
				ctx, cancel := context.WithTimeout(context.Background(), tc.waits)
				defer cancel()
				err = wait(ctx)
				assert.Equal(t, tc.fails, err != nil, err)
				assert.Equal(t, tc.after, time.Since(begun))
				if !tc.fails {
					assert.GreaterOrEqual(t, len(addresses(t, d.kept(t))), tc.atLeast)
				}
				stop()
				if name == "a dead disk" {
					again, err := to.Kept()
					require.NoError(t, err)
					assert.Error(t, again(context.Background()), "nothing is durable any more")
				}
			})
		})
	}
}

// All that wait while the disk works share the next sync.
func TestKeptTogether(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, noAnswers)
		d := &disk{}
		v := b.on(t, d, "walk/1.1")
		defer v.keepWriting()()
		d.set(func(d *disk) { d.slow, d.syncs = 20*time.Millisecond, 0 })
		const senders = 200
		told := make(chan error, senders)
		for i := range senders {
			go func() {
				time.Sleep(time.Duration(i) * 100 * time.Microsecond) // all within one sync
				receiver{v}.Signal(active("z1"))
				wait, err := receiver{v}.Kept()
				if err == nil {
					err = wait(context.Background())
				}
				told <- err
			}()
		}
		for range senders {
			require.NoError(t, <-told)
		}
		assert.LessOrEqual(t, d.syncs, 3)
		assert.Len(t, addresses(t, d.kept(t)), senders)
	})
}
