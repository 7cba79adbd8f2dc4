package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Audit, 9: --visit ../.. lets certify write outside the job; so would a link.
func TestNoVisitLiesOutsideTheJob(t *testing.T) {
	dir := t.TempDir()
	elsewhere := filepath.Join(dir, "elsewhere", "visits", "there")
	for _, folder := range []string{elsewhere, filepath.Join(dir, "job", "visits", "own")} {
		require.NoError(t, os.MkdirAll(folder, 0o755))
	}
	raw, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(elsewhere, "journal.jsonl"), raw, 0o600))
	if err := os.Symlink(elsewhere, filepath.Join(dir, "job", "visits", "linked")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	require.NoError(t, os.Symlink(filepath.Join(elsewhere, "journal.jsonl"),
		filepath.Join(dir, "job", "visits", "own", "journal.jsonl")))
	f := At(filepath.Join(dir, "job"))
	for _, name := range []string{"linked", "own"} {
		_, err := f.Visit(name)
		assert.ErrorIs(t, err, ErrOutside, name)
	}
	for _, name := range []string{"../..", "..", ".", elsewhere, "linked/.", "../visits/linked", "../../elsewhere/visits/there"} {
		_, err := f.Visit(name)
		assert.ErrorIs(t, err, ErrNoVisit, name)
	}
	_, err = f.Newest()
	assert.ErrorIs(t, err, ErrNone, "they are passed over")
	all, err := f.Visits()
	require.NoError(t, err)
	require.Len(t, all, 2, "and listed")
	_, err = all[0].Record()
	assert.ErrorIs(t, err, ErrOutside)

	// A job that is reached by a link is one.
	require.NoError(t, os.Symlink(filepath.Join(dir, "elsewhere"), filepath.Join(dir, "by link")))
	_, err = At(filepath.Join(dir, "by link")).Visit("there")
	assert.NoError(t, err)
}

// No earlier visit is taken for the newest where one that lies outside may be newer.
func TestAVisitOutsideIsNotPassedOverForAnOlderOne(t *testing.T) {
	dir := t.TempDir()
	visits := filepath.Join(dir, "job", "visits")
	for _, name := range []string{"own", "linked"} {
		require.NoError(t, os.MkdirAll(filepath.Join(visits, name), 0o755))
	}
	raw, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(visits, "own", "journal.jsonl"), raw, 0o600))
	elsewhere := filepath.Join(dir, "journal.jsonl")
	if err := os.Symlink(elsewhere, filepath.Join(visits, "linked", "journal.jsonl")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	f := At(filepath.Join(dir, "job"))
	require.NoError(t, os.WriteFile(elsewhere, []byte("no journal\n"), 0o600))
	_, err = f.Newest()
	assert.ErrorIs(t, err, ErrOrder, "nobody knows when it was begun")
	assert.ErrorContains(t, err, "visit linked is not read")
	_, err = f.Visit("own")
	assert.NoError(t, err, "by its name")

	require.NoError(t, os.WriteFile(elsewhere, raw, 0o600))
	v, err := f.Newest()
	assert.NoError(t, err, "it is no newer")
	assert.Equal(t, "own", v.Name)
}
