package journal

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who writes a journal is told while it is written, and nobody afterwards.
func TestHeld(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, Held(path), "there is none")
	w, err := Create(path)
	require.NoError(t, err)
	require.ErrorIs(t, Held(path), ErrHeld)
	assert.ErrorContains(t, Held(path), ": process ")
	_, err = w.Append(time.Now(), "note", map[string]string{"text": "a"})
	require.NoError(t, err, "asking disturbs nobody")
	require.NoError(t, w.Close())
	require.NoError(t, Held(path))
	w, _, _, err = Open(path)
	require.NoError(t, err, "and holds nothing")
	require.NoError(t, w.Close())
}
