package job

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// After a journal was removed or cut, its copy lay there, and every command said that there
// was no visit yet. It is pointed to until the journal holds as much.
func TestACopyThatHoldsMoreThanTheJournalIsPointedTo(t *testing.T) {
	for name, spoil := range map[string]func(t *testing.T, v Visit){
		"removed":        func(t *testing.T, v Visit) { require.NoError(t, os.Remove(v.Journal())) },
		"cut to nothing": func(t *testing.T, v Visit) { require.NoError(t, os.Truncate(v.Journal(), 0)) },
		"rubbish":        func(t *testing.T, v Visit) { require.NoError(t, os.WriteFile(v.Journal(), []byte("x\n"), 0o600)) },
		"one entry": func(*testing.T, Visit) {
		},
	} {
		for _, beside := range []bool{true, false} {
			f := At(t.TempDir())
			v := begin(t, f, "handover-7", noon)
			whole, err := os.ReadFile(v.Journal())
			require.NoError(t, err)
			copied := filepath.Join(f.dir, "handover-7-journal.jsonl.rescued-after-2-3")
			if beside {
				copied = v.Journal() + ".rescued-after-2"
				require.NoError(t, os.WriteFile(v.Journal()+".rescued-after-1", nil, 0o600), "an older one")
			}
			require.NoError(t, os.WriteFile(copied, nil, 0o600))
			spoil(t, v)
			_, byName := f.Visit("handover-7")
			_, newest := f.Newest()
			_, unfinished := f.Unfinished()
			for _, err := range []error{byName, newest, unfinished} {
				var left *CopyLeft
				require.ErrorAs(t, err, &left, name)
				assert.Equal(t, copied, left.File, name)
				assert.Equal(t, 2, left.Entries, name)
				assert.ErrorContains(t, err, copied)
			}
			all, err := f.CopiesLeft()
			require.NoError(t, err)
			assert.Len(t, all, 1, name)

			require.NoError(t, os.WriteFile(v.Journal(), whole, 0o600))
			require.NoError(t, os.Rename(copied, copied[:len(copied)-len(filepath.Base(copied))]+map[bool]string{
				true: "journal.jsonl.rescued-after-1-2", false: "handover-7-journal.jsonl.rescued-after-1"}[beside]))
			_, err = f.Unfinished()
			require.NoError(t, err, "%s: the journal holds as much", name)
		}
	}
}

// With its whole folder removed, a visit is known by its copy in the job's folder.
func TestAVisitOfWhichOnlyACopyIsLeftIsPointedTo(t *testing.T) {
	f := At(t.TempDir())
	copied := filepath.Join(f.dir, "2026-11-24-handover-journal.jsonl.rescued-after-67")
	require.NoError(t, os.WriteFile(copied, nil, 0o600))
	_, err := f.Newest()
	var left *CopyLeft
	require.ErrorAs(t, err, &left)
	assert.Equal(t, "2026-11-24-handover", left.Visit.Name)
	assert.Equal(t, -1, left.Left)
	require.NoError(t, os.Remove(copied))
	_, err = f.Newest()
	assert.ErrorIs(t, err, ErrNone)
}

// A journal that is reached by a link was passed over without a word.
func TestAJournalBehindALinkIsToldAsNotRead(t *testing.T) {
	f := At(t.TempDir())
	v := begin(t, f, "handover", noon)
	elsewhere := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.Rename(v.Journal(), elsewhere))
	if err := os.Symlink(elsewhere, v.Journal()); err != nil {
		t.Skipf("no links here: %v", err)
	}
	_, newest := f.Newest()
	_, unfinished := f.Unfinished()
	for _, err := range []error{newest, unfinished} {
		assert.ErrorIs(t, err, ErrNone)
		assert.ErrorIs(t, err, ErrOutside)
		assert.ErrorContains(t, err, "handover")
	}
}

// A stale copy of a visit's folder counted as a visit, and might be gone on with.
func TestOfTwoFoldersWithOneVisitNoneIsChosen(t *testing.T) {
	f := At(t.TempDir())
	v := begin(t, f, "handover", noon)
	begin(t, f, "other", noon.Add(-time.Hour))
	data, err := os.ReadFile(v.Journal())
	require.NoError(t, err)
	put(t, f, "handover (conflicted copy)", data)
	_, err = f.Unfinished()
	require.ErrorIs(t, err, ErrTwins)
	assert.ErrorContains(t, err, "handover (conflicted copy)")
	assert.ErrorContains(t, err, "visits handover and ", "both are named")
	named, err := f.Visit("handover")
	require.NoError(t, err, "one may be named")
	twins, err := f.Twins(named)
	require.NoError(t, err)
	assert.Equal(t, []string{"handover (conflicted copy)"}, twins)
	other, err := f.Visit("other")
	require.NoError(t, err)
	twins, err = f.Twins(other)
	require.NoError(t, err)
	assert.Empty(t, twins)
	require.NoError(t, os.RemoveAll(filepath.Join(f.dir, "visits", "handover (conflicted copy)")))
	chosen, err := f.Unfinished()
	require.NoError(t, err)
	assert.Equal(t, "handover", chosen.Name)
}
