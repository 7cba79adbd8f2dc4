package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// demoJob is a job with one complete visit, and the journal of that.
func demoJob(t *testing.T) (dir, journal string) {
	t.Helper()
	dir = t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	journals, err := filepath.Glob(filepath.Join(dir, "job", "visits", "*", "journal.jsonl"))
	require.NoError(t, err)
	require.Len(t, journals, 1)
	return dir, journals[0]
}

// A block of NULs in the middle of a journal was taken for a torn last write: show said
// "2 entries", certify sealed that, resume set the rest aside.
func TestABlockOfNULsInTheMiddleOfAJournalIsRefusedWithItsLine(t *testing.T) {
	dir, journal := demoJob(t)
	data, err := os.ReadFile(journal)
	require.NoError(t, err)
	const block = 512
	from := (bytes.IndexByte(data, '\n')/block + 8) * block
	clear(data[from : from+block])
	require.NoError(t, os.WriteFile(journal, data, 0o600))
	for _, command := range []string{"visit show", "certify --unsigned", "visit resume", "record"} {
		_, errs, code := at(t, dir, nil, append(strings.Fields(command), "--job", "job")...)
		assert.Equal(t, exitNotRun, code, command)
		assert.Contains(t, errs, "the journal is damaged", command)
		assert.Contains(t, errs, ": line ", command)
	}
	same, err := os.ReadFile(journal)
	require.NoError(t, err)
	assert.Equal(t, data, same, "nothing is set aside")
}

// Only resume told of a torn tail.
func TestATornTailIsToldByAllThatReadIt(t *testing.T) {
	dir, journal := demoJob(t)
	data, err := os.ReadFile(journal)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(journal, data[:len(data)-9], 0o600))
	for _, command := range []string{"visit show", "certify --unsigned", "record"} {
		out, errs, _ := at(t, dir, nil, append(strings.Fields(command), "--job", "job")...)
		assert.Contains(t, strings.Join(strings.Fields(out+errs), " "), "ends in an unfinished line (", command)
	}
}
