package visit

import (
	"bytes"
	"path/filepath"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// The journal tells damage from a torn write by that: what a visit writes itself is the
// last of its write, and what comes by itself may stand before it.
func TestAVisitsOwnEntryIsTheLastOfItsWrite(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, sounderAnswers)
		path := filepath.Join(t.TempDir(), "journal.jsonl")
		v, err := Start(b.config, path, sounderVisit(t))
		require.NoError(t, err)
		defer v.Close()
		require.NoError(t, v.add(v.source.About()))
		v.mu.Lock()
		receiver{v}.Signal(active("z1"))
		receiver{v}.Connection(signal.Connection{Up: false})
		receiver{v}.Signal(active("z1"))
		v.mu.Unlock()
		require.NoError(t, v.add(record.Note{Step: "inspection/people-told", Text: "x"}))
		contents, err := journal.ReadFile(path)
		require.NoError(t, err)
		require.Len(t, contents.Entries, 6)
		for lost := 2; lost < 5; lost++ { // each line of the batch but the last
			lines := bytes.SplitAfter(bytes.Clone(contents.Whole), []byte("\n"))
			require.NotEmpty(t, lines[lost])
			lines[lost] = append(make([]byte, 1024), '\n')
			c, err := journal.Read(bytes.NewReader(bytes.Join(lines, nil)))
			require.NoError(t, err, "line %d", lost+1)
			assert.Len(t, c.Entries, lost)
			assert.Equal(t, 5-lost, c.TornLines)
		}
	})
}
