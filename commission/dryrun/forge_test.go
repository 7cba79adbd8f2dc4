package dryrun

import (
	"bytes"
	"errors"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// honest is a journal that the real program wrote.
func honest(t *testing.T) []journal.Entry {
	t.Helper()
	data, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	c, err := journal.Read(bytes.NewReader(data))
	require.NoError(t, err)
	return c.Entries
}

// lawsBroken are the laws by which a journal is told: one that refuses it, or those that limit it.
func lawsBroken(t *testing.T, entries []journal.Entry) (laws []record.Law) {
	t.Helper()
	r, err := record.Fold(entries)
	var refused *record.Refusal
	if errors.As(err, &refused) {
		return []record.Law{refused.Law}
	}
	require.NoError(t, err)
	for _, f := range judge.Assess(r).Limitations() {
		if broken, is := f.What.(judge.Contradicted); is {
			laws = append(laws, broken.Law)
		}
	}
	return laws
}

// Each forgery is told by its law, and an honest visit breaks none.
func TestForgeriesAreTold(t *testing.T) {
	assert.Empty(t, lawsBroken(t, honest(t)), "an honest visit")
	for _, forgery := range Forgeries {
		t.Run(forgery.Name, func(t *testing.T) {
			f := &Forged{Entries: honest(t)}
			forgery.Forge(f)
			data, err := f.Bytes()
			require.NoError(t, err)
			c, err := journal.Read(bytes.NewReader(data))
			require.NoError(t, err)
			assert.Contains(t, lawsBroken(t, c.Entries), forgery.Law)
		})
	}
}
