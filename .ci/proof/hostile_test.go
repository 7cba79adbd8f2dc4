package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
)

// programOf is a program that is a script, and a job for it.
func programOf(t *testing.T, script string) office {
	t.Helper()
	o := here(t)
	o.program = filepath.Join(o.temporary, "scripted")
	require.NoError(t, os.WriteFile(o.program, []byte("#!/bin/sh\n"+script+"\n"), 0o700))
	require.NoError(t, os.Mkdir(filepath.Join(o.temporary, "job"), 0o700))
	return newOffice(o, o.temporary)
}

// Programs that take a hostile file for a good one, break down over it, swell or say nothing.
func TestHostileFilesThatAreNotRefusedAreNoticed(t *testing.T) {
	a := attempt{slot: slot{args: "verify FILE"}, kind: "a named pipe", lay: specials["a named pipe"]}
	for script, says := range map[string]string{
		"echo no; exit 2": "", "echo no; exit 1": "",
		"echo fine":                        "exit code 0",
		"exit 2":                           "it says nothing",
		"echo x; exit 3":                   "exit code 3",
		"kill -SEGV $$":                    "ended by a signal",
		"echo 'panic: x'; exit 2":          "it says: panic: x",
		"echo 'goroutine 1 [run]'; exit 2": "it says: goroutine 1",
		"echo 'intact since it was signed, every verdict follows'; exit 2": "called intact",
	} {
		_, came, err := programOf(t, script).faces(t.Context(), "copy", a)
		require.NoError(t, err)
		if says == "" {
			assert.NoError(t, came, script)
		} else {
			assert.ErrorContains(t, came, says, script)
		}
	}
	a.mayHold = true
	_, came, err := programOf(t, "echo fine").faces(t.Context(), "copy", a)
	require.NoError(t, err)
	assert.NoError(t, came)
}

// A verify that is content with everything notices nothing.
func TestTamperedFilesThatAreCalledIntactAreUnnoticed(t *testing.T) {
	for script, is := range map[string]bool{"echo no; exit 1": false, "echo fine": true} {
		came, err := programOf(t, script).noticed(t.Context(), "a.pdf", nil)
		require.NoError(t, err)
		assert.Equal(t, is, came != nil, script)
	}
}

func TestHowMuchWasResident(t *testing.T) {
	assert.Positive(t, peak("self"))
	assert.Zero(t, peak("nobody"))
	assert.Equal(t, int64(7), resident(nil, 7))
}

// A stop that no entry tells is unnoticed.
func TestStopsThatAreNotToldAreNoticed(t *testing.T) {
	began := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	at := func(s float64) time.Time { return began.Add(time.Duration(s * float64(time.Second))) }
	long, brief := stop{at(1), at(3)}, stop{at(1), at(1.5)}
	entry := func(s float64, body string) journal.Entry {
		return journal.Entry{At: at(s), Kind: "absent", Body: []byte(body)}
	}
	all := []journal.Entry{
		{At: began, Kind: "note", Body: []byte("{}")},
		entry(3.01, `{"lasted_nanosecond":2000000000}`),
		entry(9, `{"lasted_nanosecond":1}`),
	}
	assert.NoError(t, tellsOf([]stop{long, brief}, all))
	assert.ErrorAs(t, tellsOf([]stop{long}, []journal.Entry{all[0], all[2]}), new(unnoticed))
	assert.NoError(t, tellsOf([]stop{long}, all[:1]), "nothing was written after it")
	all[1].Body = []byte(`{"lasted_nanosecond":900000000}`)
	assert.ErrorAs(t, tellsOf([]stop{long}, all), new(unnoticed), "it tells of a shorter one")
	want := outcome{"verdict walk/1.1": "proved", resultKey: "satisfactory"}
	assert.NoError(t, sameVerdicts(want, outcome{"verdict walk/1.1": "proved"}))
	assert.ErrorContains(t, sameVerdicts(want, outcome{"verdict walk/1.1": "silent"}), "silent, and proved without")
}
