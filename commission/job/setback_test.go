package job

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
)

// setBack is a computer whose time of day is behind.
type setBack struct {
	clock.Real
	now time.Time
}

func (s setBack) Now() time.Time                 { return s.now }
func (setBack) TimeOfDay(at time.Time) time.Time { return at.Round(0) }

// What is added between runs tells of a clock that was set back, and contradicts nothing.
func TestWhatIsAddedAfterTheClockWasSetBack(t *testing.T) {
	v := begin(t, At(t.TempDir()), "first", noon)
	require.NoError(t, v.Discard(setBack{now: noon.Add(-time.Hour)}, twice))
	r, err := v.Record()
	require.NoError(t, err)
	require.Len(t, r.ClockSteps(), 1)
	assert.True(t, r.ClockSteps()[0].AtLeast)
	assert.LessOrEqual(t, r.ClockSteps()[0].By, -time.Hour)
	for _, b := range r.Breaches() {
		assert.NotContains(t, []string{"law/runs-follow", "law/ends-after"}, b.Law.Code())
	}
}
