package journal

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"loopwitness/commission/kit/readfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A link to a device, or a folder, in the place of a journal or of its lock.
func TestOnlyFilesAreRead(t *testing.T) {
	for name, make := range map[string]func(path string) error{
		"folder": func(path string) error { return os.Mkdir(path, 0o700) },
		"link to a device": func(path string) error {
			if _, err := os.Stat("/dev/zero"); err != nil {
				t.Skip("there is none")
			}
			return os.Symlink("/dev/zero", path)
		},
	} {
		t.Run(name, func(t *testing.T) {
			isRefused(t, make)
		})
	}
	loop := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.Symlink(loop, loop))
	_, err := ReadFile(loop)
	require.Error(t, err)
}

// isRefused tries to read, open and lock what is no file.
func isRefused(t *testing.T, make func(path string) error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, make(path))
	_, err := ReadFile(path)
	require.ErrorIs(t, err, readfile.ErrNotOrdinary)
	assert.ErrorContains(t, err, path)
	_, _, _, err = Open(path)
	require.ErrorIs(t, err, readfile.ErrNotOrdinary)
	require.NoError(t, Held(path))

	path, _ = written(t, 1)
	require.NoError(t, os.Remove(path+".lock"))
	require.NoError(t, make(path+".lock"))
	_, _, _, err = Open(path)
	require.ErrorIs(t, err, readfile.ErrNotOrdinary)
	require.NoError(t, Held(path))
}

// Journals, their locks and what was set aside could be read by everybody.
func TestFilesOfAVisitAreForTheirOwner(t *testing.T) {
	path, data := written(t, 1)
	require.NoError(t, os.WriteFile(path, append(data, "torn"...), 0o600))
	w, _, rec, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	for file, mode := range map[string]fs.FileMode{path: 0o600, path + ".lock": 0o600, rec.File: 0o600,
		filepath.Dir(path): 0o700} {
		info, err := os.Stat(file)
		require.NoError(t, err)
		assert.Equal(t, mode, info.Mode().Perm(), file)
	}
	there := filepath.Join(t.TempDir(), "there")
	require.NoError(t, os.Mkdir(there, 0o755))
	w, err = Create(filepath.Join(there, "journal.jsonl"))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	info, err := os.Stat(there)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o755), info.Mode().Perm(), "a folder that is there keeps its mode")
}

// What is set aside takes the place of nothing that was set aside before.
func TestWhatIsSetAsideOverwritesNothing(t *testing.T) {
	path, data := written(t, 2)
	for _, torn := range []string{"one", "another"} {
		require.NoError(t, os.WriteFile(path, append(data[:len(data):len(data)], torn...), 0o600))
		w, _, rec, err := Open(path)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		kept, err := os.ReadFile(rec.File)
		require.NoError(t, err)
		assert.Equal(t, torn, string(kept))
	}
	kept, err := os.ReadFile(path + ".torn-after-2")
	require.NoError(t, err)
	assert.Equal(t, "one", string(kept))
}

// Whoever writes a lock cannot speak to the terminal of who reads it.
func TestWhoHoldsALockIsBoundedAndCannotDraw(t *testing.T) {
	w, path := begun(t)
	who := append([]byte("process\x1b[2J\a\n \xff1"), make([]byte, 1<<20)...)
	require.NoError(t, os.WriteFile(path+".lock", who, 0o600))
	require.ErrorIs(t, Held(path), ErrHeld)
	assert.Equal(t, ErrHeld.Error()+": process[2J  \ufffd1", Held(path).Error())
	require.NoError(t, w.Failed(), "and the lock is held all the same")
	_, err := w.AppendAll(events(1))
	require.NoError(t, err)
}
