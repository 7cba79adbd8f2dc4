package journal

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// meddling is what others do to a journal while it is written: what was opened, and how
// the next append or reading finds it.
var meddling = map[string]struct {
	do func(t *testing.T, path string)
	is error
}{
	"removed": {func(t *testing.T, path string) { require.NoError(t, os.Remove(path)) }, ErrRemoved},
	"its folder removed": {func(t *testing.T, path string) {
		require.NoError(t, os.RemoveAll(filepath.Dir(path)))
	}, ErrRemoved},
	"moved": {func(t *testing.T, path string) { require.NoError(t, os.Rename(path, path+".old")) }, ErrMoved},
	"its folder moved": {func(t *testing.T, path string) {
		require.NoError(t, os.Rename(filepath.Dir(path), filepath.Dir(path)+"-moved"))
	}, ErrMoved},
	"replaced by the same": {func(t *testing.T, path string) {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path+".sync", data, 0o600))
		require.NoError(t, os.Rename(path+".sync", path))
	}, ErrReplaced},
	"replaced by a folder": {func(t *testing.T, path string) {
		require.NoError(t, os.Remove(path))
		require.NoError(t, os.Mkdir(path, 0o700))
	}, ErrReplaced},
	"shortened": {func(t *testing.T, path string) { require.NoError(t, os.Truncate(path, 7)) }, ErrShortened},
	"longer by a byte": {func(t *testing.T, path string) {
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
		require.NoError(t, err)
		_, err = f.WriteString("\n")
		require.NoError(t, err)
		require.NoError(t, f.Close())
	}, ErrLonger},
	"moved, and a link to it": {func(t *testing.T, path string) {
		require.NoError(t, os.Rename(path, path+".old"))
		linkOrSkip(t, path+".old", path)
	}, ErrLinked},
	"its folder moved, and a link to it": {func(t *testing.T, path string) {
		require.NoError(t, os.Rename(filepath.Dir(path), filepath.Dir(path)+"-moved"))
		linkOrSkip(t, filepath.Dir(path)+"-moved", filepath.Dir(path))
	}, ErrLinked},
	"lock removed": {func(t *testing.T, path string) { require.NoError(t, os.Remove(path+".lock")) }, ErrLockRemoved},
	"lock replaced": {func(t *testing.T, path string) {
		require.NoError(t, os.Remove(path+".lock"))
		require.NoError(t, os.WriteFile(path+".lock", nil, 0o600))
	}, ErrLockRemoved},
}

func linkOrSkip(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Skipf("no links here: %v", err)
	}
}

// begun is a journal with two entries.
func begun(t *testing.T) (*Writer, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "visit", "journal.jsonl")
	w, err := Create(path)
	require.NoError(t, err)
	t.Cleanup(func() { _ = w.Close() })
	_, err = w.AppendAll(events(2))
	require.NoError(t, err)
	return w, path
}

// A journal that is gone or changed was written on, unseen, until the visit was complete.
func TestAJournalThatOthersChangeTakesNothingMore(t *testing.T) {
	for name, of := range meddling {
		t.Run(name, func(t *testing.T) {
			w, path := begun(t)
			require.NoError(t, w.Failed())
			of.do(t, path)
			length := size(path)
			_, err := w.AppendAll(events(1))
			require.ErrorIs(t, err, of.is)
			require.ErrorIs(t, err, ErrChanged)
			require.ErrorIs(t, w.Failed(), of.is)
			assert.Equal(t, length, size(path), "nothing is added to what is not ours")
			_, err = w.AppendAll(events(1))
			require.ErrorIs(t, err, ErrDead)
		})
	}
}

func size(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return -1
	}
	return info.Size()
}

// What happens while an entry is written is known before it counts.
func TestAJournalThatOthersChangeDuringAWriteIsNoticedBeforeItCounts(t *testing.T) {
	for name, of := range meddling {
		t.Run(name, func(t *testing.T) {
			w, path := begun(t)
			w.f = meddled{w.f, func() { of.do(t, path) }}
			_, err := w.AppendAll(events(1))
			require.ErrorIs(t, err, of.is)
			c, err := w.Memory()
			require.NoError(t, err)
			assert.Len(t, c.Entries, 3, "memory keeps it")
		})
	}
}

// meddled is a file at which something happens with each sync.
type meddled struct {
	File
	during func()
}

func (m meddled) Sync() error {
	err := m.File.Sync()
	m.during()
	return err
}

// The end of a visit did not look at what stands on disk.
func TestReadingAgainFindsWhatOthersChanged(t *testing.T) {
	for name, of := range meddling {
		for how, again := range rereading {
			w, path := begun(t)
			require.NoError(t, again(w), "%s, by %s", name, how)
			of.do(t, path)
			require.ErrorIs(t, again(w), of.is, "%s, by %s", name, how)
			require.ErrorIs(t, again(w), ErrDead, "%s, by %s", name, how)
			_, err := w.AppendAll(events(1))
			require.ErrorIs(t, err, ErrDead)
		}
	}
}

var rereading = map[string]func(*Writer) error{
	"Compare": (*Writer).Compare,
	"Reread":  func(w *Writer) error { _, err := w.Reread(); return err },
}

// A byte that was changed in place is found wherever it stands, whatever its file's length.
func TestAByteThatWasChangedInPlaceIsFound(t *testing.T) {
	w, path := begun(t)
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	defer f.Close()
	for how, again := range rereading {
		for at := range size(path) {
			was := []byte{0}
			_, err = f.ReadAt(was, at)
			require.NoError(t, err)
			_, err = f.WriteAt([]byte{was[0] ^ 1}, at)
			require.NoError(t, err)
			require.ErrorIs(t, again(w), ErrRewritten, "byte %d, by %s", at, how)
			_, err = f.WriteAt(was, at)
			require.NoError(t, err)
			w.failed = nil
			require.NoError(t, again(w), "as it was")
		}
	}
}

// What is read again is what was written: in each of several pieces, after resuming, too.
func TestReadingAgainReturnsWhatWasWritten(t *testing.T) {
	w, path := begun(t)
	_, err := w.Append(noon, "note", strings.Repeat("x", 2*longestTorn))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	w, _, _, err = Open(path)
	require.NoError(t, err)
	defer w.Close()
	_, err = w.AppendAll(events(3))
	require.NoError(t, err)
	require.NoError(t, w.Compare())
	c, err := w.Reread()
	require.NoError(t, err)
	require.Len(t, c.Entries, 6)
	assert.Equal(t, w.head, c.Head)
	assert.Equal(t, w.all, c.Whole)
	f := &failing{writes: 9, syncs: 9}
	nameless := On(f)
	_, err = nameless.AppendAll(events(2))
	require.NoError(t, err)
	require.NoError(t, nameless.Compare())
	c, err = nameless.Reread()
	require.NoError(t, err)
	assert.Equal(t, f.written.Bytes(), c.Whole)
}

// A removed lock file let two programs write one journal: the one that lost its lock adds
// nothing to what the other writes.
func TestARemovedLockLetsNoTwoWritersMix(t *testing.T) {
	w, path := begun(t)
	require.NoError(t, os.Remove(path+".lock"))
	other, _, _, err := Open(path)
	require.NoError(t, err)
	defer other.Close()
	_, err = w.AppendAll(events(1))
	require.ErrorIs(t, err, ErrLockRemoved)
	_, err = other.AppendAll(events(1))
	require.NoError(t, err)
	_, err = w.AppendAll(events(1))
	require.ErrorIs(t, err, ErrDead)
	c, err := ReadFile(path)
	require.NoError(t, err)
	assert.Len(t, c.Entries, 3)
	require.ErrorIs(t, Held(path), ErrHeld, "the other holds it")
}
