package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/visit"
)

// demoJob is a job with complete visits, and the journal of the last.
func demoJob(t *testing.T) (dir, journal string) {
	t.Helper()
	dir = t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	journals, err := filepath.Glob(filepath.Join(dir, "job", "visits", "*-maintenance", "journal.jsonl"))
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

// Why a journal failed was told three or four times, raw; the operator has told it.
func TestWhyAJournalFailedIsNotToldAgain(t *testing.T) {
	out, err := os.Create(filepath.Join(t.TempDir(), "out"))
	require.NoError(t, err)
	defer out.Close()
	s := streams{out: out, err: out, lost: new(error)}
	ended := s.brokenOff(errors.Join(visit.ErrJournal, errors.New("why")), nil, "loopwitness visit resume", false)
	require.ErrorAs(t, ended, new(told))
	require.ErrorIs(t, ended, visit.ErrJournal)
	said, err := os.ReadFile(out.Name())
	require.NoError(t, err)
	assert.Equal(t, "\nOnce its journal is in its place, go on with:\n   loopwitness visit resume\n", string(said))
}

// With only a copy of a journal left, visit start began another without a word.
func TestACopyOfAJournalIsToldByAllCommands(t *testing.T) {
	dir, journal := demoJob(t)
	require.NoError(t, os.Rename(journal, journal+".rescued-after-219"))
	for _, command := range []string{"visit show", "visit resume", "certify --unsigned", "record",
		"visit start --kind handover"} {
		_, errs, code := at(t, dir, nil, append(strings.Fields(command), "--job", "job")...)
		assert.Equal(t, exitNotRun, code, command)
		assert.Contains(t, errs, "journal.jsonl.rescued-after-219", command)
		assert.Contains(t, errs, "  1. Copy ", command)
		assert.Contains(t, errs, "loopwitness visit resume --visit ", command)
	}
	visits, err := filepath.Glob(filepath.Join(dir, "job", "visits", "*"))
	require.NoError(t, err)
	folders := slices.DeleteFunc(visits, func(path string) bool {
		info, err := os.Stat(path)
		return err != nil || !info.IsDir()
	})
	assert.Len(t, folders, 2, "no other is begun")
}

// A stale copy of a visit's folder was shown and certified without a word.
func TestTwinsOfAVisitAreTold(t *testing.T) {
	dir, journal := demoJob(t)
	folder := filepath.Dir(journal)
	require.NoError(t, os.CopyFS(folder+" (conflicted copy)", os.DirFS(folder)))
	for _, command := range []string{"visit show", "certify --unsigned"} {
		_, errs, _ := at(t, dir, nil, append(strings.Fields(command), "--job", "job")...)
		assert.Contains(t, errs, "begin with the same entry", command)
		assert.Contains(t, errs, "(conflicted copy)", command)
	}
}
