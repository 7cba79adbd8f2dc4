package journal

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// afterwards is what follows in one write, or not.
type afterwards struct {
	after time.Duration
	kind  string
}

// withGap is a journal with a first entry, a long one that lost a sector, and others.
func withGap(t *testing.T, others ...afterwards) []byte {
	t.Helper()
	entries := []Entry{{At: noon, Run: 1, Kind: "opened", Body: []byte(`""`)},
		{At: noon, Run: 1, Kind: "signal", Body: fmt.Appendf(nil, "%q", strings.Repeat("x", 3*sector))}}
	for _, o := range others {
		entries = append(entries, Entry{At: noon, Run: 1, Elapsed: o.after, Kind: o.kind, Body: []byte(`""`)})
	}
	whole, err := Encode(entries)
	require.NoError(t, err)
	clear(whole[sector : 2*sector])
	return whole
}

// A missing sector in the middle of a complete journal was taken for a torn last write, and
// nearly all entries, minutes of them, were set aside. It is damage of its line.
func TestAMissingSectorOfAnEarlierWriteIsDamage(t *testing.T) {
	const s = time.Second
	for name, test := range map[string]struct {
		others []afterwards
		torn   bool
	}{
		"signals of seconds":             {[]afterwards{{0, "signal"}, {s, "overrun"}, {2 * s, "connection"}}, true},
		"and of times out of order":      {[]afterwards{{60 * s, "signal"}, {0, "sampled"}}, true},
		"an own entry at the end":        {[]afterwards{{0, "absent"}, {0, "clock-stepped"}, {s, "answer"}}, true},
		"an own entry and a signal":      {[]afterwards{{0, "answer"}, {0, "signal"}}, false},
		"two own entries":                {[]afterwards{{0, "answer"}, {0, "answer"}}, false},
		"signals of more than a minute":  {[]afterwards{{0, "signal"}, {60*s + 1, "signal"}}, false},
		"the same, out of order":         {[]afterwards{{60*s + 1, "signal"}, {0, "signal"}}, false},
		"an own entry long after a gap":  {[]afterwards{{time.Hour, "answer"}}, true},
		"a kind that nobody knows, last": {[]afterwards{{0, "later"}}, true},
	} {
		left := withGap(t, test.others...)
		c, err := Read(bytes.NewReader(left))
		if !test.torn {
			require.ErrorIs(t, err, ErrDamaged, name)
			assert.ErrorContains(t, err, "line 2: ", name)
			continue
		}
		require.NoError(t, err, name)
		assert.Len(t, c.Entries, 1, name)
		assert.Equal(t, len(test.others), c.TornLines, name)
		assert.Equal(t, left, append(c.Whole, c.Torn...), name)
	}
}

// What stands behind a gap has to be lines of a journal, each the next, of one run.
func TestBehindAMissingSectorStandLinesThatChain(t *testing.T) {
	left := withGap(t, afterwards{0, "signal"}, afterwards{0, "signal"}, afterwards{0, "signal"})
	lines := bytes.SplitAfter(left, []byte("\n"))
	require.Len(t, lines, 6)
	for name, behind := range map[string][]byte{
		"one left out":   bytes.Join([][]byte{lines[2], lines[4]}, nil),
		"one twice":      bytes.Join([][]byte{lines[2], lines[2]}, nil),
		"turned round":   bytes.Join([][]byte{lines[3], lines[2]}, nil),
		"one changed":    bytes.Replace(bytes.Join(lines[2:], nil), []byte(`"n":4`), []byte(`"n":5`), 1),
		"another run":    bytes.Replace(bytes.Join(lines[2:], nil), []byte(`"run":1`), []byte(`"run":2`), 1),
		"a run before":   bytes.ReplaceAll(lines[2], []byte(`"run":1`), []byte(`"run":0`)),
		"the line again": bytes.ReplaceAll(lines[2], []byte(`"n":3`), []byte(`"n":2`)),
		"other writing":  bytes.ReplaceAll(lines[2], []byte(`"n":3`), []byte(`"n": 3`)),
		"rubbish":        []byte("rubbish\n"),
	} {
		_, err := Read(bytes.NewReader(append(bytes.Join(lines[:2], nil), behind...)))
		require.ErrorIs(t, err, ErrDamaged, name)
		assert.ErrorContains(t, err, "line 2: ", name)
	}
	again := bytes.ReplaceAll(lines[2], []byte(`"run":1`), []byte(`"run":2`))
	c, err := Read(bytes.NewReader(append(bytes.Join(lines[:2], nil), again...)))
	require.NoError(t, err, "the first write of the next run")
	assert.Equal(t, 1, c.TornLines)
}

// The first entry is acknowledged before anything else is written.
func TestAMissingSectorOfTheFirstEntryIsDamageOnceAnythingFollows(t *testing.T) {
	all, err := Encode([]Entry{{At: noon, Run: 1, Kind: "opened", Body: fmt.Appendf(nil, "%q", strings.Repeat("x", 2000))},
		{At: noon, Run: 1, Kind: "signal", Body: []byte(`""`)}})
	require.NoError(t, err)
	clear(all[sector : 2*sector])
	_, err = Read(bytes.NewReader(all))
	require.ErrorIs(t, err, ErrDamaged)
	first := all[:bytes.IndexByte(all, '\n')+1]
	c, err := Read(bytes.NewReader(first))
	require.NoError(t, err)
	assert.Equal(t, first, c.Torn)
}

// Whole lines that are set aside are counted, and bytes.
func TestWholeLinesThatAreSetAsideAreCounted(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	left := withGap(t, afterwards{0, "signal"}, afterwards{0, "signal"})
	require.NoError(t, os.WriteFile(path, left, 0o600))
	w, c, rec, err := Open(path)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	assert.Equal(t, Recovered{Bytes: len(left) - len(c.Whole), Lines: 2, File: path + ".torn-after-1"}, rec)
}
