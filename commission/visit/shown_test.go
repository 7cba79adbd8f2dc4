package visit

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
)

// A cue is told once it is on disk. How long that takes is no part of a response: a slow
// disk made detectors late, and silent.
func TestASlowDiskMakesNoDetectorLate(t *testing.T) {
	for _, slow := range []time.Duration{0, 9 * time.Millisecond, 10 * time.Millisecond, 3 * time.Second, 20 * time.Second} {
		synctest.Test(t, func(t *testing.T) {
			source := &timeline{operate: "420ms z1 active", restore: "600ms z1 restored"}
			b := newBench(t, source, clock.Real{}, "answers:\n  - {when: walk/1.1/not-proved, say: as it is}\n")
			v := b.on(t, &disk{slow: slow}, "walk/1.1")
			require.NoError(t, v.Run(t.Context()), b.out.String())
			line := judge.Assess(v.Record()).Detectors()[0]
			assert.Equal(t, record.Proved, line.Verdict, slow)
			assert.InDelta(t, 420*time.Millisecond, line.Operated.Response, float64(record.ShownLate), slow)
			assert.InDelta(t, 600*time.Millisecond, line.Restored.Response, float64(record.ShownLate), slow)
			assert.Equal(t, 1, line.Trials)
			breaksNoLaw(t, v.Record())
		})
	}
}
