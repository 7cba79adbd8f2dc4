package journal

import (
	"errors"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One entry that no reader takes destroyed a whole visit, since it was written first.
func TestWhatIsRefusedIsNotWrittenNorItsBatch(t *testing.T) {
	w, path := begun(t)
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	refused := errors.New("it makes no sense")
	var shown []Entry
	_, err = w.AppendExamined(events(3), func(i int, e Entry) error {
		assert.Equal(t, before, w.all, "nothing is written yet")
		shown = append(shown, e)
		if i == 1 {
			return refused
		}
		return nil
	})
	require.ErrorIs(t, err, refused)
	assert.Len(t, shown, 2)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
	require.NoError(t, w.Failed(), "the Writer goes on")

	shown = nil
	entries, err := w.AppendExamined(events(3), func(_ int, e Entry) error { shown = append(shown, e); return nil })
	require.NoError(t, err)
	assert.Equal(t, entries, shown, "as it stands in the journal")
	c, err := w.Reread()
	require.NoError(t, err)
	assert.Equal(t, c.Entries[2:], entries)
}

// What comes from outside can be left out, and the others of its batch are numbered on.
func TestWhatIsLeftOutLeavesNoGap(t *testing.T) {
	for _, out := range [][]int{{0}, {1}, {2}, {0, 2}, {0, 1, 2}} {
		w, _ := begun(t)
		entries, err := w.AppendExamined(events(3), func(i int, _ Entry) error {
			for _, o := range out {
				if i == o {
					return ErrLeftOut
				}
			}
			return nil
		})
		require.NoError(t, err)
		require.Len(t, entries, 3-len(out))
		_, err = w.AppendAll(events(1))
		require.NoError(t, err)
		c, err := w.Reread()
		require.NoError(t, err, "%v", out)
		require.Len(t, c.Entries, 6-len(out))
	}
}

// A run's clock begins with its first entry that is written.
func TestARefusedFirstEntryDoesNotBeginTheRun(t *testing.T) {
	w := On(&failing{writes: 9, syncs: 9})
	_, err := w.AppendExamined(events(1), func(int, Entry) error { return errors.New("no") })
	require.Error(t, err)
	entries, err := w.AppendAll([]Event{{At: noon.Add(time.Hour), Kind: "note", Body: 1}})
	require.NoError(t, err)
	assert.Zero(t, entries[0].Elapsed)
	assert.Equal(t, 1, entries[0].N)
}
