package visit_test

import (
	"bytes"
	"context"
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
	"loopwitness/commission/words/pseudo"
)

// told runs a whole visit in a language and returns its journal and what was printed.
func toldIn(t *testing.T, language words.Language) ([]journal.Entry, string) {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	c := clock.NewSimulated(benchMorning)
	source, err := simulated.New(
		s,
		c,
		simulated.Options{Seed: 5, Faults: []simulated.Fault{{At: "2.1", Kind: simulated.Silent}}},
	)
	require.NoError(t, err)
	a, err := scripted.Read("answers.yaml", []byte(visit.BenchAnswers))
	require.NoError(t, err)
	var out bytes.Buffer
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	v, err := visit.Start(
		simulated.Join(visit.Config{Operator: scripted.New(a, c, &out, language), Source: source, Clock: c, Tool: "test"}),
		path,
		record.Opened{
			Visit:     programme.Handover,
			Document:  "B-1/1",
			SiteName:  "site.yaml",
			Site:      visit.BenchSite,
			Programme: programme.Of(s, list),
		},
	)
	require.NoError(t, err)
	require.NoError(t, v.Run(context.Background()))
	require.NoError(t, v.Close())
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	return contents.Entries, out.String()
}

// The language changes no code, no verdict and no acceptance: only the text that
// somebody was shown.
func TestTheLanguageChangesOnlyWhatWasShown(t *testing.T) {
	english, said := toldIn(t, words.English{})
	foreign, saidForeign := toldIn(t, pseudo.Language{})
	require.Len(t, foreign, len(english))
	accepted := 0
	for i, e := range english {
		if e.Kind != "signed" {
			assert.Equal(t, e, foreign[i])
			continue
		}
		var one, other record.Signed
		require.NoError(t, json.Unmarshal(e.Body, &one))
		require.NoError(t, json.Unmarshal(foreign[i].Body, &other))
		for k := range one.Accepted {
			assert.NotEqual(t, one.Accepted[k].Shown, other.Accepted[k].Shown)
			assert.Equal(t, "⟦"+one.Accepted[k].Shown+"⟧", other.Accepted[k].Shown)
			one.Accepted[k].Shown, other.Accepted[k].Shown = "", ""
			accepted++
		}
		assert.Equal(t, one, other)
	}
	assert.Greater(t, accepted, 4)
	assert.NotContains(t, said, "⟦")
	for _, line := range strings.Split(saidForeign, "\n") {
		assert.True(t, line == "" || strings.Contains(line, "⟦"), "said by no language: %q", line)
	}

	// Written in one, resumed and judged in the other.
	r, err := record.Fold(foreign)
	require.NoError(t, err)
	whole, err := record.Fold(english)
	require.NoError(t, err)
	assert.Equal(t, results(whole), results(r))
}
