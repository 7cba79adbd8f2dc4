package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/words"
)

// unfinishedJob is a folder with a visit that has only begun, and how it is asked about.
func unfinishedJob(t *testing.T, say string) (ask func() (string, error), w *journal.Writer, f job.Folder) {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"site.yaml", "controller.yaml"} {
		data, err := demoFiles.ReadFile("demo/" + name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
	f = job.At(dir)
	st, err := f.Site()
	require.NoError(t, err)
	at := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	v, opened, err := f.New(st, programme.Handover, at)
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Dir(v.Journal()), 0o755))
	w, err = journal.Create(v.Journal())
	require.NoError(t, err)
	_, err = w.Append(at, opened.Kind(), opened)
	require.NoError(t, err)
	answers, err := scripted.Read("answers.yaml", []byte("answers:\n  - {when: visit/unfinished, say: "+say+"}\n"+
		"  - {when: visit/discard-reason, say: begun twice}\n"))
	require.NoError(t, err)
	out, err := os.Create(filepath.Join(dir, "out"))
	require.NoError(t, err)
	s := streams{out: out, err: out, in: os.Stdin}
	operator := scripted.New(answers, clock.Real{}, &bytes.Buffer{}, words.English{})
	return func() (string, error) {
		_, err := besideUnfinished(context.Background(), s, f, visitOptions{answers: "answers.yaml"}, operator)
		told, readErr := os.ReadFile(out.Name())
		require.NoError(t, readErr)
		return string(told), err
	}, w, f
}

// A visit that runs in another process is told as running: nobody goes on with it, sets it
// aside or begins another beside it meanwhile.
func TestARunningVisitIsToldAsRunning(t *testing.T) {
	for _, word := range []string{"resume", "discard", "beside"} {
		ask, w, _ := unfinishedJob(t, word)
		_, err := ask()
		require.ErrorContains(t, err, "it is running, another process holds this visit: process ")
		require.NoError(t, w.Close())
	}
}

// One that rests is gone on with, set aside, or left where it is.
func TestAnUnfinishedVisitIsAskedAbout(t *testing.T) {
	for word, want := range map[string]error{"resume": errResume, "discard": nil, "beside": nil} {
		ask, w, f := unfinishedJob(t, word)
		require.NoError(t, w.Close())
		told, err := ask()
		require.ErrorIs(t, err, want, word)
		assert.Contains(t, told, "2026-11-24-handover, begun ")
		assert.NotContains(t, told, "running")
		_, err = f.Unfinished()
		assert.Equal(t, word == "discard", err != nil, word)
		_, err = ask()
		assert.Equal(t, word == "resume", err != nil, "%s, asked again", word)
	}
}
