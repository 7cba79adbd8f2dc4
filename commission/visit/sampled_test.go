package visit

import (
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// At most one sample in five seconds is written, two in a second where it changes by
// 50 mV or more.
func TestFewSamplesAreWritten(t *testing.T) {
	var s sampling
	for _, tc := range []struct {
		at   time.Duration
		volt float64
		is   bool
	}{
		{0, 12.6, true}, {time.Second, 12.6, false}, {4999 * time.Millisecond, 12.64, false},
		{5 * time.Second, 12.61, true}, {5499 * time.Millisecond, 11, false}, {5500 * time.Millisecond, 12.55, true},
		{7 * time.Second, 12.598, false}, {8 * time.Second, 12.625, true}, {12 * time.Second, 12.6, false},
	} {
		assert.Equal(t, tc.is, s.worth(signal.Sample{At: morning.Add(tc.at), Volt: tc.volt}), "%v", tc)
	}
}

// A reading that was taken as sampled and is taken again is asked for.
func TestASampleIsTakenOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, nil, clock.Real{}, benchAnswers)
		v, err := Start(b.config, filepath.Join(t.TempDir(), "journal.jsonl"), openedFor(t, siteOf(t, benchSite)))
		require.NoError(t, err)
		defer func() { require.NoError(t, v.Close()) }()
		require.NoError(t, v.add(signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, Sampled: true}))
		require.NoError(t, v.add(record.Answer{Step: programme.IDMainsOff, Result: record.Done}))
		receiver{v}.Sample(signal.Sample{At: time.Now(), Volt: 12.6})
		time.Sleep(time.Minute)
		o := v.Record().Find("supply/standby-1")
		taken, err := v.sampled(t.Context(), o)
		require.NoError(t, err)
		assert.True(t, taken)
		require.NoError(t, v.add(record.Reopened{Step: "supply/standby-1"}))
		taken, err = v.sampled(t.Context(), o)
		require.NoError(t, err)
		assert.False(t, taken)
	})
}
