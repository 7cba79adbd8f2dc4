package visit_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

var benchMorning = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

func simulatedConfig(t *testing.T, s *site.Site, answers string, out *bytes.Buffer) visit.Config {
	t.Helper()
	c := clock.NewSimulated(benchMorning)
	source, err := simulated.New(s, c,
		simulated.Options{Seed: 5, Faults: []simulated.Fault{{At: "2.1", Kind: simulated.Silent}}})
	require.NoError(t, err)
	a, err := scripted.Read("answers.yaml", []byte(answers))
	require.NoError(t, err)
	return simulated.Join(
		visit.Config{Operator: scripted.New(a, c, out, words.English{}), Source: source, Clock: c, Tool: "test"})
}

// wholeVisit runs a visit without a break and returns its site and journal.
func wholeVisit(t *testing.T) (*site.Site, string) {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(visit.ReusedBenchSite))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	v, err := visit.Start(
		simulatedConfig(t, s, visit.ReusedBenchAnswers, &bytes.Buffer{}),
		path,
		record.Opened{Visit: programme.Handover,
			Number: "B-1/1", SiteName: "site.yaml", Site: visit.ReusedBenchSite, Programme: programme.Of(s, list)},
	)
	require.NoError(t, err)
	require.NoError(t, v.Run(context.Background()))
	require.NoError(t, v.Close())
	return s, path
}

// results is what must not depend on where a visit was broken off.
func results(r *record.Record) map[string]any {
	a := judge.Assess(r)
	out := map[string]any{"result": a.Result(), "done": r.Done(), "counts": a.Counts(), "energised": len(r.Energised())}
	for _, d := range a.Detectors() {
		out[string(d.Name.Point)] = d.Verdict
	}
	for _, f := range append(a.Findings(), a.Limitations()...) {
		out[f.ID] = f.Code()
	}
	for _, s := range r.Outcomes() {
		out[s.Step().ID] = [2]any{s.Concluded(), s.Result()}
	}
	return out
}

// However many entries were folded before, stepping on gives the same record.
func TestFoldingAPrefixAndSteppingOnIsFoldingAll(t *testing.T) {
	_, path := wholeVisit(t)
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	whole, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	for n := 1; n < len(contents.Entries); n++ {
		r, err := record.Fold(contents.Entries[:n])
		require.NoError(t, err)
		for _, e := range contents.Entries[n:] {
			require.NoError(t, r.Take(e))
		}
		require.Equal(t, whole, r, "after %d entries", n)
	}
}

// resultsAfter are the results of a visit that goes on after a journal that was cut off. It breaks no law.
func resultsAfter(t *testing.T, cut []byte, config func(*bytes.Buffer) visit.Config) map[string]any {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.WriteFile(path, cut, 0o644))
	var out bytes.Buffer
	v, err := visit.Resume(config(&out), path)
	require.NoError(t, err)
	require.NoError(t, v.Run(context.Background()), out.String())
	require.NoError(t, v.Close())
	again, err := journal.ReadFile(path)
	require.NoError(t, err)
	r, err := record.Fold(again.Entries)
	require.NoError(t, err)
	require.Empty(t, r.Breaches(), "no visit breaks a law")
	return results(r)
}

// A program that is killed after any entry, at any byte of the next, goes on
// where it was and ends with the same results.
func TestResumingAfterEveryEntry(t *testing.T) {
	s, path := wholeVisit(t)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	whole, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	want := results(whole)
	require.Empty(t, whole.Breaches())

	lines := bytes.SplitAfter(data, []byte("\n"))
	for n := 1; n < len(contents.Entries); n++ {
		cut := bytes.Join(lines[:n], nil)
		cut = append(cut, lines[n][:n%len(lines[n])]...) // some of the next line, too
		t.Run(fmt.Sprintf("%d %s", n, contents.Entries[n-1].Kind), func(t *testing.T) {
			t.Parallel() // it waits for the disk most of the time
			require.Equal(t, want, resultsAfter(t, cut, func(out *bytes.Buffer) visit.Config {
				return simulatedConfig(t, s, visit.ReusedBenchAnswers, out)
			}))
		})
	}
}

func TestRetestTakesWhatWasNotProved(t *testing.T) {
	s, path := wholeVisit(t)
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Retest))
	require.NoError(t, err)
	var walk []string
	for _, step := range programme.OfRetest(s, list, r.Opened().Programme, judge.Unsatisfied(r)) {
		if step.Stage == programme.StageWalkTest && !step.Look() {
			walk = append(walk, string(step.Point))
		}
	}
	assert.Equal(t, []string{"2.1", "2.2"}, walk, "the silent one and the one that was skipped")
}
