package verify

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/report/evidence"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// walkTested is the journal of a walk-test of so many detectors, two on a zone or, of the most
// that there may be, five; each proved.
func walkTested(t testing.TB, detectors int) journal.Contents {
	t.Helper()
	var text strings.Builder
	text.WriteString("reference: L\npremises: {name: a, address: b}\ninstaller: {company: c}\n" +
		"controller: {description: d}\nsupply: {battery: {chemistry: none}}\nzones:\n")
	on := []string{"left", "right"}
	if detectors > 2000 {
		on = []string{"left", "right", "upper", "lower", "middle"}
	}
	for z := 1; z <= detectors/len(on); z++ {
		fmt.Fprintf(&text, "  - {number: %[1]d, name: Zone %[1]d, kind: window, wiring: normally closed, "+
			"address: z%[1]d, detectors: [%s]}\n", z, strings.Join(on, ", "))
	}
	s, err := site.Read("site.yaml", []byte(text.String()))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := journal.Create(path)
	require.NoError(t, err)
	now := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	add := func(after time.Duration, f record.Fact) {
		now = now.Add(after)
		_, err := w.Append(now, f.Kind(), f)
		require.NoError(t, err)
	}
	steps := programme.Of(s, list)
	add(
		0,
		record.Opened{Tool: "bench", Visit: programme.Handover, Number: "L/1", SiteName: "site.yaml",
			Site: text.String(), Programme: steps},
	)
	add(0, signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7})
	add(0, signal.Connection{Up: true})
	for _, step := range steps {
		if step.Kind != programme.StepDetector || step.Stage != programme.StageWalkTest {
			continue
		}
		z, _, err := s.Find(step.Point)
		require.NoError(t, err)
		add(time.Second, record.Cue{Step: step.ID, Half: record.Operate})
		add(700*time.Millisecond, signal.Signal{Address: z.Address, State: signal.Active})
		add(time.Second, record.Ended{Step: step.ID, By: record.ByTime})
		add(time.Second, record.Cue{Step: step.ID, Half: record.Restore})
		add(700*time.Millisecond, signal.Signal{Address: z.Address, State: signal.Restored})
		add(time.Second, record.Ended{Step: step.ID, By: record.ByTime})
	}
	require.NoError(t, w.Close())
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	return contents
}

// The last is the most that a site file may have.
var sizes = []int{10, 100, 1000, 5000}

// measured tells how large a file is, and of how many pages.
func measured(b *testing.B, file []byte) {
	b.Helper()
	f, err := pdffile.Open(file)
	require.NoError(b, err)
	pages, err := f.Pages()
	require.NoError(b, err)
	b.ReportMetric(float64(len(file)), "bytes")
	b.ReportMetric(float64(len(pages)), "pages")
}

// BenchmarkSeal: fold, judge, draw, attach and sign.
func BenchmarkSeal(b *testing.B) {
	id := newIdentity(b, "bench")
	for _, n := range sizes {
		contents := walkTested(b, n)
		b.Run(fmt.Sprint("detectors=", n), func(b *testing.B) {
			var file seal.Sealed
			for b.Loop() {
				c, err := evidence.Make(contents, noPhotographs,
					evidence.Making{Revision: 1, Tool: "bench", Made: made, SealedBy: by(id)})
				require.NoError(b, err)
				require.Equal(b, n, c.Assessment.Counts()[record.Proved])
				file, err = seal.Seal(context.Background(), c.Contents, id, seal.Stamper{})
				require.NoError(b, err)
			}
			measured(b, file.PDF)
		})
	}
}

// Verify: all that a check does.
func BenchmarkVerify(b *testing.B) {
	id := newIdentity(b, "bench")
	for _, n := range sizes {
		c, err := evidence.Make(walkTested(b, n), noPhotographs,
			evidence.Making{Revision: 1, Tool: "bench", Made: made, SealedBy: by(id)})
		require.NoError(b, err)
		file := sealed(b, c.Contents, id)
		b.Run(fmt.Sprint("detectors=", n), func(b *testing.B) {
			b.SetBytes(int64(len(file)))
			for b.Loop() {
				r := Check("c.pdf", file, Options{})
				require.Equal(b, Intact, r.Outcome, texts(r))
			}
			measured(b, file)
		})
	}
}
