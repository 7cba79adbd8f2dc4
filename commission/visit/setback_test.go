package visit

import (
	"context"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

// A clock that was set back between two runs is told to who goes on, and no contradiction.
func TestAClockThatWasSetBackBetweenRuns(t *testing.T) {
	for back, told := range map[time.Duration]string{time.Hour: "set back by at least", 0: ""} {
		synctest.Test(t, func(t *testing.T) {
			l := &laptop{}
			s := siteOf(t, oneDoor)
			opened := openedFor(t, s)
			opened.Programme = []programme.Step{doorStep}
			on := func(answers string) *bench {
				return newBench(t, &timeline{operate: "420ms z1 active", restore: "600ms z1 restored", clock: l}, l, answers)
			}
			path := filepath.Join(t.TempDir(), "journal.jsonl")
			v, err := Start(on(`answers: [{when: walk/1.1/ready, say: pause, after: 9 s}]`).config, path, opened)
			require.NoError(t, err)
			require.Error(t, v.Run(context.Background()))
			require.NoError(t, v.Close())
			l.set(-back)
			b := on(`answers: [{when: walk/1.1/ready, say: ready, after: 2 s}]`)
			v, err = Resume(b.config, path)
			require.NoError(t, err)
			require.NoError(t, v.Run(context.Background()), b.out.String())
			require.NoError(t, v.Close())
			breaksNoLaw(t, v.Record())
			if told == "" {
				assert.Empty(t, v.Record().ClockSteps())
				assert.NotContains(t, b.out.String(), "clock was set")
				return
			}
			assert.Contains(t, b.out.String(), told)
			steps := v.Record().ClockSteps()
			require.Len(t, steps, 1)
			assert.Equal(t, []any{-back, true}, []any{steps[0].By, steps[0].AtLeast})
		})
	}
}
