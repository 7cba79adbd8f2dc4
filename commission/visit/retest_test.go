package visit_test

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
)

// The least that each open step needs can be taken by itself, from the first step to the
// names, and leaves nothing of what it takes void.
func TestARetestOfEachStepByItself(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(t, err)
	whole := programme.Of(s, programme.Checklist{})
	for _, again := range whole {
		if again.Kind == programme.StepSign {
			continue
		}
		steps := programme.OfRetest(s, programme.Checklist{}, whole, map[string]bool{again.ID: true})
		path := filepath.Join(t.TempDir(), "journal.jsonl")
		var out bytes.Buffer
		v, err := visit.Start(asBuilt(t, visit.BenchAnswers, &out), path, record.Opened{Visit: programme.Retest,
			Number: "B-1/2", Follows: "B-1/1", SiteName: "site.yaml", Site: visit.BenchSite, Programme: steps})
		require.NoError(t, err)
		require.NoError(t, v.Run(context.Background()), "%s: %s", again.ID, out.String())
		require.NoError(t, v.Close())
		contents, err := journal.ReadFile(path)
		require.NoError(t, err)
		r, err := record.Fold(contents.Entries)
		require.NoError(t, err)
		assert.True(t, r.Done(), again.ID)
		assert.Empty(t, r.Breaches(), again.ID)
		assert.True(t, r.MainsOff().IsZero(), again.ID)
		for _, l := range judge.Assess(r).Readings() {
			assert.Empty(t, l.Void, "%s for %s", l.Outcome.Step().ID, again.ID)
		}
	}
}
