package visit

import (
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
)

// With visits/running.lock removed, two visits of one job ran together, unnoticed: the one
// that lost it stops at its next write, with its sounder off.
func TestAVisitStopsWhoseJobCanBeTakenByAnother(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		job := t.TempDir()
		name := filepath.Join(job, "running.lock")
		lock, err := journal.Hold(name)
		require.NoError(t, err)
		defer lock.Release()
		path := filepath.Join(job, "handover", "journal.jsonl")
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, sounderAnswers)
		b.config.Running = lock
		b.config.Operator = &atQuestion{Operator: b.config.Operator, id: "outputs/Sounder/heard",
			does: func() { require.NoError(t, os.Remove(name)) }}
		v, err := Start(b.config, path, sounderVisit(t))
		require.NoError(t, err)
		err = v.Run(t.Context())
		require.NoError(t, v.Close())
		require.ErrorIs(t, err, journal.ErrLockRemoved)
		require.ErrorIs(t, err, ErrJournal)
		assert.False(t, source.sounding["Sounder"])
		assert.Contains(t, b.out.String(), "THE VISIT STOPS")
		assert.Contains(t, b.out.String(), "running.lock")
	})
}
