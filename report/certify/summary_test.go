package certify

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/verify"
)

// A summary is of the last revision of the same record; where there is none, that is written first. What is there is
// not replaced, and counts as no revision.
func TestSummary(t *testing.T) {
	v := pottery(t, "")
	today := time.Now() // the key has to be valid, and the file not of the future
	o := Options{Key: newKey(t, today), Tool: "loopwitness test", Clock: at(today)}
	full, summary, err := Summary(t.Context(), v, o)
	require.NoError(t, err)
	require.NotNil(t, full)
	assert.Equal(t, 1, full.Revision)
	assert.Equal(t, 1, summary.Revision)
	assert.True(t, strings.HasSuffix(summary.Path, "handover-rev1-summary.pdf"), summary.Path)
	for _, path := range []string{full.Path, summary.Path} {
		file, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, verify.Intact, verify.Check(path, file, verify.Options{}).Outcome, path)
	}
	again, _, err := Summary(t.Context(), v, o)
	require.ErrorIs(t, err, ErrSummaryThere)
	assert.Nil(t, again, "there is a full one of this record")
	last, err := v.LastRevision()
	require.NoError(t, err)
	assert.Equal(t, 1, last)

	// A full certificate of another record is not what the summary is of.
	require.NoError(t, os.WriteFile(full.Path, []byte("no certificate"), 0o600))
	full, summary, err = Summary(t.Context(), v, o)
	require.NoError(t, err)
	require.NotNil(t, full)
	assert.Equal(t, 2, full.Revision)
	assert.True(t, strings.HasSuffix(summary.Path, "handover-rev2-summary.pdf"), summary.Path)
	files, err := os.ReadDir(filepath.Dir(summary.Path))
	require.NoError(t, err)
	assert.Len(t, files, 4)
}

// A summary of a full certificate that was written before is of that revision, and the full one stays as it was.
func TestSummaryOfWhatIsThere(t *testing.T) {
	v := pottery(t, "")
	o := Options{Tool: "loopwitness test", Clock: at(now)}
	written, err := Visit(t.Context(), v, o)
	require.NoError(t, err)
	before, err := os.ReadFile(written.Path)
	require.NoError(t, err)
	full, summary, err := Summary(t.Context(), v, o)
	require.NoError(t, err)
	assert.Nil(t, full)
	assert.Equal(t, written.Revision, summary.Revision)
	after, err := os.ReadFile(written.Path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
	file, err := os.ReadFile(summary.Path)
	require.NoError(t, err)
	r := verify.Check(summary.Path, file, verify.Options{})
	assert.Contains(t, r.Document, "rev. 1 summary")
	assert.Equal(t, 1, r.Compared.Pages)
}
