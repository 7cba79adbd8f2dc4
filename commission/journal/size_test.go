package journal

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// endless is as long as a device.
type endless struct{}

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'x'
	}
	return len(p), nil
}

// A journal of 1.5 GB took 3.2 GB of memory, one that never ends all of it.
func TestNoMoreIsReadThanAVisitWrites(t *testing.T) {
	_, err := Read(endless{})
	require.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, "83886080")
	_, err = Read(io.LimitReader(endless{}, MostBytes))
	require.NoError(t, err, "one unfinished line")

	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.NoError(t, os.Truncate(path, 1<<40)) // nothing on disk
	_, err = ReadFile(path)
	require.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, path)
	_, _, _, err = Open(path)
	require.ErrorIs(t, err, ErrTooLarge)
	require.NoError(t, Held(path), "and its lock is free again")
}

// No visit can write what no reader takes, and each has room for a pause.
func TestAWriterStopsBeforeNoReaderTakesItsJournal(t *testing.T) {
	f := &failing{writes: 99, syncs: 99}
	w := On(f)
	long := strings.Repeat("x", 15<<20)
	for range 4 {
		_, err := w.Append(noon, "note", long)
		require.NoError(t, err)
	}
	rest := MostBytes - kept - len(w.all)
	line := lineOf(t, w, "")
	_, err := w.Append(noon, "note", strings.Repeat("x", rest-line+1))
	require.ErrorIs(t, err, ErrFull, "by a byte")
	assert.ErrorContains(t, err, "note: ")
	require.NoError(t, w.Failed())
	_, err = w.Append(noon, "note", strings.Repeat("x", rest-line))
	require.NoError(t, err, "and not by a byte less")
	_, err = w.Append(noon, "paused", 1)
	require.ErrorIs(t, err, ErrFull)
	w.UseReserve()
	_, err = w.Append(noon, "paused", 1)
	require.NoError(t, err)
	rest = MostBytes - len(w.all)
	_, err = w.Append(noon, "note", strings.Repeat("x", rest-lineOf(t, w, "")+1))
	require.ErrorIs(t, err, ErrFull)
	_, err = w.Append(noon, "note", strings.Repeat("x", rest-lineOf(t, w, "")))
	require.NoError(t, err)
	c, err := Read(bytes.NewReader(f.written.Bytes()))
	require.NoError(t, err, "of exactly %d bytes", MostBytes)
	assert.Len(t, c.Entries, 7)
}

// lineOf is how long the next line would be, with its LF.
func lineOf(t *testing.T, w *Writer, text string) int {
	t.Helper()
	body, err := Marshal(text)
	require.NoError(t, err)
	line, err := encode(Entry{N: w.n + 1, At: noon, Run: w.run, Kind: "note", Body: body}, w.head)
	require.NoError(t, err)
	return len(line) + 1
}
