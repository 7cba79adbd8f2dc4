package atomicfile

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A program that is ended while it writes leaves nothing half-written behind.
func TestAbandonLeavesNothingHalfWritten(t *testing.T) {
	dir := t.TempDir()
	old := filepath.Join(dir, "old")
	require.NoError(t, Replace(old, []byte("old"), 0o600))
	var then []string
	with(t, func(s *system) {
		s.sync = func(*os.File) error { // in the midst of writing
			require.Len(t, names(t, dir), 2)
			removeUnfinished() // as Abandon does, but that the test has to go on
			then = names(t, dir)
			return nil
		}
	})
	assert.Error(t, Replace(old, []byte("new"), 0o600), "there is nothing to be named any more")
	assert.Equal(t, []string{"old"}, then)
	assert.Equal(t, "old", content(t, old))
	assert.Empty(t, unfinished.names)
}
