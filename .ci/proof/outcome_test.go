package main

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// here are options for the module that the tests stand in.
func here(t *testing.T) options {
	t.Helper()
	dir, err := os.MkdirTemp(scratch(), "proof-test-")
	require.NoError(t, err)
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return options{root: "../..", temporary: dir, short: true, seed: 1}
}

// shop is the small shop in which everything works, and its whole visit.
func shop(t *testing.T) (visitCase, []byte) {
	t.Helper()
	c, err := here(t).read("shop", "testdata", "visits", "base")
	require.NoError(t, err)
	f := &fullFile{}
	require.NoError(t, inMemory(t.Context(), c, f))
	return c, f.Bytes()
}

// entries are those of a journal, each to be changed.
func entries(t *testing.T, data []byte) []journal.Entry {
	t.Helper()
	c, err := journal.Read(bytes.NewReader(data))
	require.NoError(t, err)
	return c.Entries
}

func outcomeOfEntries(t *testing.T, all []journal.Entry) outcome {
	t.Helper()
	r, err := record.Fold(all)
	require.NoError(t, err)
	return outcomeOf(r)
}

func TestTheSameVisitHasNoDifferences(t *testing.T) {
	_, data := shop(t)
	want, err := outcomeIn(data)
	require.NoError(t, err)
	got, err := outcomeIn(data)
	require.NoError(t, err)
	assert.Empty(t, differences(want, got))
	assert.NoError(t, compared(want, got))
	assert.Equal(t, "proved", want["verdict walk/2.1"])
	assert.Equal(t, "proved", want["verdict supply/proof-3.1"])
	assert.Equal(t, "works", want["output outputs/Sounder"])
	assert.Equal(t, "true", want["done"])
}

// Journals that were damaged on purpose: whatever a kill might do to one is noticed.
func TestDamagedJournalsAreNoticed(t *testing.T) {
	_, data := shop(t)
	want := outcomeOfEntries(t, entries(t, data))
	at := func(all []journal.Entry, kind, with string) int {
		i := slices.IndexFunc(all, func(e journal.Entry) bool {
			return e.Kind == kind && strings.Contains(string(e.Body), with)
		})
		require.Positive(t, i, "%s %s", kind, with)
		return i
	}
	for name, c := range map[string]struct {
		damage func(all []journal.Entry) []journal.Entry
		tells  string
	}{
		"a late signal": {func(all []journal.Entry) []journal.Entry {
			for i := at(all, record.Cue{}.Kind(), `"walk/2.1"`) + 1; i < len(all); i++ {
				all[i].Elapsed += 3 * time.Second
			}
			return all
		}, "verdict walk/2.1: late, without the attack: proved"},
		"another answer": {func(all []journal.Entry) []journal.Entry {
			i := at(all, record.Answer{}.Kind(), `"inspection/access"`)
			all[i].Body = json.RawMessage(`{"step":"inspection/access","result":"defect","remark":"loose"}`)
			return all
		}, "step inspection/access"},
		"an answer that is gone": {func(all []journal.Entry) []journal.Entry {
			i := at(all, record.Answer{}.Kind(), `"hand-over/documents"`)
			return slices.Delete(all, i, i+1)
		}, "step hand-over/documents: concluded false"},
		"a lower voltage": {func(all []journal.Entry) []journal.Entry {
			i := at(all, record.Reading{}.Kind(), `"supply/standby-2"`)
			var r record.Reading
			require.NoError(t, json.Unmarshal(all[i].Body, &r))
			r.Value, r.AsTyped = 10.2, "10.2 V"
			body, err := json.Marshal(r)
			require.NoError(t, err)
			all[i].Body = body
			return all
		}, "reading supply/standby-2"},
		"an end that is gone": {func(all []journal.Entry) []journal.Entry { return all[:len(all)-1] }, "done: false"},
	} {
		t.Run(name, func(t *testing.T) {
			got := outcomeOfEntries(t, c.damage(entries(t, data)))
			assert.ErrorContains(t, compared(want, got), c.tells)
		})
	}
}

func TestWhatIsLeftOnIsNoticed(t *testing.T) {
	_, data := shop(t)
	all := entries(t, data)
	off := slices.IndexFunc(all, func(e journal.Entry) bool {
		return e.Kind == (record.Energised{}).Kind() && strings.Contains(string(e.Body), `"on":false`)
	})
	got := outcomeOfEntries(t, all[:off])
	assert.Contains(t, strings.Join(differences(got, got), "\n"), "left on: [")
}

// Only what tells of breaks may be new, and lower a satisfactory result to one with
// limitations.
func TestOnlyWhatTellsOfBreaksMayDiffer(t *testing.T) {
	before := tellsOfBreaks
	t.Cleanup(func() { tellsOfBreaks = before })
	tellsOfBreaks = []string{"told"}
	want := outcome{resultKey: string(judge.Satisfactory), "left on": "[]"}
	limited := outcome{resultKey: string(judge.WithLimitations), "left on": "[]", "limitation told  Visit": "advice"}
	assert.Empty(t, differences(want, limited))
	assert.NotEmpty(t, differences(limited, want), "not the other way round")

	for key := range map[string]bool{"limitation other  Visit": true, "finding told  Visit": true} {
		assert.NotEmpty(t, differences(want, outcome{resultKey: want[resultKey], "left on": "[]", key: "advice"}), key)
	}
	assert.NotEmpty(t, differences(want, outcome{resultKey: string(judge.WithLimitations), "left on": "[]"}))
	assert.NotEmpty(t, differences(want,
		outcome{resultKey: string(judge.Unsatisfactory), "left on": "[]", "limitation told  Visit": "advice"}))
}

// A finding that nobody could see may be gone only where something tells of the break.
func TestWhatABreakHidesHasToBeTold(t *testing.T) {
	before := tellsOfBreaks
	t.Cleanup(func() { tellsOfBreaks = before })
	tellsOfBreaks = []string{"told"}
	const lost = "finding switch-over-lost supply/mains-off Supply"
	want := outcome{resultKey: string(judge.Unsatisfactory), "left on": "[]", lost: "fault"}
	silent := outcome{resultKey: string(judge.WithLimitations), "left on": "[]"}
	assert.Len(t, differences(want, silent), 2, "greener, without a word")
	told := outcome{resultKey: string(judge.WithLimitations), "left on": "[]", "limitation told  Visit": "advice"}
	assert.Empty(t, differences(want, told))
	told[resultKey] = string(judge.Satisfactory)
	assert.NotEmpty(t, differences(want, told))
	want["finding other walk/1.1 1.1"] = "fault"
	told[resultKey] = want[resultKey]
	assert.NotEmpty(t, differences(want, told), "any other finding stays")
	assert.Equal(t, 1, want.exitCode())
	assert.Equal(t, 0, silent.exitCode())
}
