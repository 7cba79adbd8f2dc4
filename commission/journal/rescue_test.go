package journal

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fullDisk is a file on a disk without room from now on.
type fullDisk struct{ File }

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

// Everything that memory holds was lost with a journal that was gone, or that the disk did
// not take. It is in the copy, and the visit goes on with it.
func TestARescueCopyHoldsAllAndIsGoneOnWith(t *testing.T) {
	w, path := begun(t)
	w.f = fullDisk{w.f}
	_, err := w.AppendAll(events(3))
	require.ErrorContains(t, err, "no space left")
	_, err = w.AppendAll(events(1)) // a pause, after the failure
	require.ErrorIs(t, err, ErrDead)
	d, err := w.Durable()
	require.NoError(t, err)
	assert.Len(t, d.Entries, 2)

	file, entries, err := w.Rescue()
	require.NoError(t, err)
	assert.Equal(t, path+".rescued-after-6", file)
	assert.Equal(t, 6, entries)
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o600), info.Mode().Perm())
	require.NoError(t, w.Close())

	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, data, 0o600)) // copied back
	w, c, rec, err := Open(path)
	require.NoError(t, err)
	assert.Len(t, c.Entries, 6)
	assert.Zero(t, rec)
	_, err = w.AppendAll(events(1))
	require.NoError(t, err)
	require.NoError(t, w.Close())
}

// No rescue copy takes the place of another file, and the first folder that takes it has it.
func TestARescueCopyOverwritesNothing(t *testing.T) {
	w, path := begun(t)
	require.NoError(t, os.WriteFile(path+".rescued-after-2", []byte("earlier"), 0o600))
	file, _, err := w.Rescue(t.TempDir())
	require.NoError(t, err)
	assert.Equal(t, path+".rescued-after-2-2", file)
	earlier, err := os.ReadFile(path + ".rescued-after-2")
	require.NoError(t, err)
	assert.Equal(t, "earlier", string(earlier))

	require.NoError(t, os.RemoveAll(filepath.Dir(path)))
	gone, there := filepath.Join(t.TempDir(), "gone"), t.TempDir()
	for _, name := range []string{"visit-journal.jsonl.rescued-after-2", "visit-journal.jsonl.rescued-after-2-2"} {
		file, entries, err := w.Rescue(gone, there, t.TempDir())
		require.NoError(t, err)
		assert.Equal(t, filepath.Join(there, name), file)
		assert.Equal(t, 2, entries)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, w.all, data)
	}
	assert.NoDirExists(t, filepath.Dir(path), "no folder is made for it")
	_, _, err = w.Rescue(gone)
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, _, err = On(&failing{}).Rescue(there)
	require.Error(t, err, "a journal without a name")
}

// A program that has a fault in a write does not go on writing behind it.
func TestAfterABrokenOffWriteNothingIsWritten(t *testing.T) {
	w, _ := begun(t)
	whole := w.f
	w.f = meddled{whole, func() { panic("a fault") }}
	require.Panics(t, func() { _, _ = w.AppendAll(events(1)) })
	w.f = whole
	_, err := w.AppendAll(events(1))
	require.ErrorIs(t, err, ErrDead)
	require.ErrorIs(t, w.Failed(), errBrokenOff)
}
