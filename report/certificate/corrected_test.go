package certificate

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// What was undertaken stands beside its limitation; what was corrected stands with what
// it was before. A visit without either has no section of them.
func TestSlipsAndUndertakingsAreShown(t *testing.T) {
	entries := recorded(t, 0)
	r, err := record.Fold(entries)
	require.NoError(t, err)
	plain := Write(judge.Assess(r), Options{Language: words.English{}}).PlainText()
	assert.NotContains(t, plain, "Corrected or changed")
	assert.NotContains(t, plain, "undertaken")

	var name record.Typed
	for _, typed := range r.Correctable() {
		if typed.Field == record.LicenceField {
			name = typed
		}
	}
	require.NotZero(t, name.Entry)
	first := judge.Assess(r).Limitations()[0]
	r, err = record.Fold(recorded(t, 0,
		record.Corrected{Entry: name.Entry, Field: name.Field, Text: "T-0991", Reason: "misread", By: "Ignace"},
		record.Undertaken{Said: first.Said(), Action: record.PutRight, By: "2026-12-01", Who: "Bea"}))
	require.NoError(t, err)
	text := Write(judge.Assess(r), Options{Language: words.English{}}).PlainText()
	assert.Contains(t, text, "# Corrected or changed during the visit")
	assert.Contains(t, text, "“T-0991”, before “T-0881”; corrected ")
	assert.Contains(t, text, " by Ignace: “misread”; after somebody had signed")
	assert.Contains(t, text, "test it; undertaken: put right, and tested again, by 2026-12-01, Bea")
}
