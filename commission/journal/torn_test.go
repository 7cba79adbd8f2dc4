package journal

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Half of a last line as NULs with its end present was called damage: whatever the offsets
// of line and half are, the entries before it are recovered.
func TestALastLineWithNULsIsTorn(t *testing.T) {
	for _, size := range []int{1, 200, sector, 2*sector + 100} {
		for shift := 0; shift < sector; shift += 37 {
			synced, whole := tail(t, shift, size)
			for at := len(synced); at < len(whole)-1; at += 1 + (len(whole)-len(synced))/97 {
				for _, end := range []int{at + 1, (at + len(whole)) / 2, len(whole) - 1} {
					if end <= at {
						continue
					}
					left := bytes.Clone(whole)
					clear(left[at:end])
					c, err := Read(bytes.NewReader(left))
					require.NoError(t, err, "NULs from %d to %d of %d", at, end, len(left))
					require.Equal(t, synced, c.Whole)
					require.Equal(t, left[len(synced):], c.Torn)
				}
			}
		}
	}
}

// tail is a journal with one acknowledged entry, and with one line of a size behind it.
func tail(t *testing.T, shift, size int) (synced, whole []byte) {
	t.Helper()
	f := &failing{writes: 9, syncs: 9}
	w := On(f)
	_, err := w.Append(noon, "note", strings.Repeat("x", shift))
	require.NoError(t, err)
	synced = bytes.Clone(f.written.Bytes())
	_, err = w.Append(noon, "note", strings.Repeat("x", size))
	require.NoError(t, err)
	return synced, f.written.Bytes()
}

// A power cut leaves any prefix of the last write, and of that any sector unwritten. Open
// recovers all that was acknowledged, and keeps the rest aside.
func TestEveryPrefixOfTheLastWriteWithEachSectorMissing(t *testing.T) {
	synced, whole := batched(t, 6)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	tried := 0
	for length := len(synced); length <= len(whole); length++ {
		for first := len(synced) / sector; first*sector < length; first++ {
			left := bytes.Clone(whole[:length])
			clear(left[max(first*sector, len(synced)):min((first+1)*sector, length)])
			c, err := Read(bytes.NewReader(left))
			require.NoError(t, err, "%d bytes, without sector %d", length, first)
			require.GreaterOrEqual(t, len(c.Entries), 2)
			require.True(t, bytes.HasPrefix(whole, c.Whole))
			if tried++; tried%61 == 0 { // opening each would take its time
				recovers(t, path, left, whole)
				require.NoError(t, os.Remove(path))
			}
		}
	}
	assert.Greater(t, tried, 1000)
}

// An earlier line that has a NUL outside of any sector is damage still.
func TestANULInAnEarlierLineIsDamage(t *testing.T) {
	_, whole := batched(t, 2)
	for at := 1; at < bytes.LastIndexByte(whole[:len(whole)-1], '\n'); at++ {
		if whole[at] == '\n' {
			continue
		}
		left := bytes.Clone(whole)
		left[at] = 0
		_, err := Read(bytes.NewReader(left))
		require.ErrorIs(t, err, ErrDamaged, "byte %d", at)
	}
}

// An unfinished line is cut off the file that was read, not off one that was put into its
// place meanwhile.
func TestNothingIsCutOffAnotherFile(t *testing.T) {
	path, data := written(t, 2)
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, os.Rename(path, path+".old"))
	require.NoError(t, os.WriteFile(path, data, 0o600))
	require.ErrorIs(t, cut(f, path, 1), ErrReplaced)
	there, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, data, there)
}
