package record_test

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// BenchmarkFoldSignals folds the beginning of a visit and 50,000 signals of one of its zones.
func BenchmarkFoldSignals(b *testing.B) {
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(b, err)
	zone, err := record.Fold(contents.Entries)
	require.NoError(b, err)
	first := slices.IndexFunc(contents.Entries, func(e journal.Entry) bool { return e.Kind == "listening" })
	entries := signals(b, slices.Clone(contents.Entries[:first+1]), zone.Site().Zones[0].Address, 50_000)
	for b.Loop() {
		_, err := record.Fold(entries)
		require.NoError(b, err)
	}
}

// signals adds so many to entries, a millisecond apart.
func signals(b *testing.B, entries []journal.Entry, address string, many int) []journal.Entry {
	for i := range many {
		e := entries[len(entries)-1]
		state := []signal.State{signal.Active, signal.Restored}[i%2]
		body, err := json.Marshal(signal.Signal{Address: address, State: state, Raw: `{"contact":true}`})
		require.NoError(b, err)
		e.N, e.At, e.Elapsed = e.N+1, e.At.Add(time.Millisecond), e.Elapsed+time.Millisecond
		e.Kind, e.Body = signal.Signal{}.Kind(), body
		entries = append(entries, e)
	}
	return entries
}
