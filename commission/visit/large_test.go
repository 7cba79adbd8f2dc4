package visit_test

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

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

// largeSite has two detectors on every zone.
func largeSite(b *testing.B, zones int) *site.Site {
	b.Helper()
	var text strings.Builder
	text.WriteString("reference: L\npremises: {name: a, address: b}\ninstaller: {company: c}\n" +
		"controller: {description: d}\nsupply: {battery: {chemistry: none}}\nzones:\n")
	for z := 1; z <= zones; z++ {
		fmt.Fprintf(&text, "  - {number: %[1]d, name: Zone %[1]d, kind: window, wiring: normally closed, "+
			"address: z%[1]d, detectors: [left, right]}\n", z)
	}
	s, err := site.Read("site.yaml", []byte(text.String()))
	require.NoError(b, err)
	return s
}

// largeVisit runs a whole visit in simulated time and returns its journal.
func largeVisit(b *testing.B, s *site.Site) string {
	b.Helper()
	c := clock.NewSimulated(time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC))
	source, err := simulated.New(s, c, simulated.Options{Seed: 5})
	require.NoError(b, err)
	a, err := scripted.Read("answers.yaml", []byte(visit.BenchAnswers))
	require.NoError(b, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(b, err)
	path := filepath.Join(b.TempDir(), "journal.jsonl")
	v, err := visit.Start(
		simulated.Join(
			visit.Config{Operator: scripted.New(a, c, &bytes.Buffer{}, words.English{}), Source: source,
				Clock: c, Tool: "bench"},
		),
		path,
		record.Opened{Visit: programme.Handover, Number: "L/1", SiteName: "site.yaml",
			Site: string(s.Raw), Programme: programme.Of(s, list)},
	)
	require.NoError(b, err)
	require.NoError(b, v.Run(context.Background()))
	require.NoError(b, v.Close())
	return path
}

// A whole visit, every entry synced, and then what a certificate needs of it.
func BenchmarkVisit(b *testing.B) {
	for _, zones := range []int{5, 50, 500} {
		s := largeSite(b, zones)
		b.Run(fmt.Sprintf("detectors=%d/run", 2*zones), func(b *testing.B) {
			for b.Loop() {
				largeVisit(b, s)
			}
		})
		contents, err := journal.ReadFile(largeVisit(b, s))
		require.NoError(b, err)
		b.Run(fmt.Sprintf("detectors=%d/fold", 2*zones), func(b *testing.B) {
			for b.Loop() {
				r, err := record.Fold(contents.Entries)
				require.NoError(b, err)
				judge.Assess(r)
			}
		})
	}
}
