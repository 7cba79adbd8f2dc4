package job

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
)

// Two visits of one job could be begun at the same moment, each under its own name. The
// second is told who runs the first.
func TestTwoVisitsOfAJobDoNotRunTogether(t *testing.T) {
	f := At(filepath.Join(t.TempDir(), "pottery"))
	lock, err := f.Run()
	require.NoError(t, err)
	_, err = f.Run()
	require.ErrorIs(t, err, ErrRunning)
	require.ErrorIs(t, err, journal.ErrHeld)
	assert.ErrorContains(t, err, ": process ")
	other, err := At(t.TempDir()).Run()
	require.NoError(t, err, "of another job")
	require.NoError(t, other.Release())
	visits, err := f.Visits()
	require.NoError(t, err)
	assert.Empty(t, visits, "the lock is no visit")
	require.NoError(t, lock.Release())
	lock, err = f.Run()
	require.NoError(t, err, "no file that is left behind keeps it")
	require.NoError(t, lock.Release())
}

// The folders and files of a visit were everybody's to read.
func TestFoldersOfAVisitAreForTheirOwner(t *testing.T) {
	f := At(t.TempDir())
	v := begin(t, f, "handover", noon)
	added, err := v.Attach(clock.NewSimulated(noon), "controller", "", taken(t, 100))
	require.NoError(t, err)
	for path, mode := range map[string]fs.FileMode{v.path(): 0o700, v.Journal(): 0o600,
		v.path("photographs"): 0o700, v.photographPath(added.Name): 0o600} {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, mode, info.Mode().Perm(), path)
	}
}
