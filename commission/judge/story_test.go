package judge

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// story tells facts by hand, as a visit appends them, each in the moment of the one before
// unless a duration stands between them. A story that has a journal is written, too; its
// times are invented, so that the same story always makes the same bytes.
type story struct {
	t       testing.TB
	record  *record.Record
	now     time.Duration
	n       int
	journal string // path, "" for none
	writer  *journal.Writer
}

// begin is a hand-over visit at honestSite.
func begin(t testing.TB) *story {
	s := &story{t: t, record: &record.Record{}}
	s.open(honestSite, programme.Handover, builtIn(t, programme.Handover))
	s.tell(listening)
	return s
}

func builtIn(t testing.TB, kind programme.VisitKind) programme.Checklist {
	t.Helper()
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(kind))
	require.NoError(t, err)
	return list
}

// written is a story that goes into a journal, too. The method bytes ends it.
func written(t testing.TB) *story {
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	w, err := journal.Create(path)
	require.NoError(t, err)
	return &story{t: t, record: &record.Record{}, journal: path, writer: w}
}

// open tells of a visit that takes all that the site has.
func (s *story) open(text string, kind programme.VisitKind, list programme.Checklist) {
	s.t.Helper()
	at, err := site.Read("site.yaml", []byte(text))
	require.NoError(s.t, err)
	s.opens(kind, text, programme.Of(at, list))
}

// opens tells of a visit with a programme.
func (s *story) opens(kind programme.VisitKind, text string, steps []programme.Step) {
	s.t.Helper()
	s.tell(record.Opened{Visit: kind, Document: "H-1/1", SiteName: "site.yaml", Site: text, Programme: steps})
}

func (s *story) tell(facts ...any) {
	s.t.Helper()
	for _, f := range facts {
		if d, ok := f.(time.Duration); ok {
			s.now += d
			continue
		}
		s.n++
		if reading, is := f.(record.Reading); is && reading.Quantity == record.VoltageReading {
			reading.Unit, reading.AsTyped = "V", fmt.Sprint(reading.Value, " V")
			f = reading
		}
		require.NoError(s.t, s.record.Take(s.entry(f.(record.Fact))))
	}
}

// entry is a fact as it stands in a journal.
func (s *story) entry(f record.Fact) journal.Entry {
	s.t.Helper()
	at := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC).Add(s.now)
	_, resumed := f.(record.Resumed)
	if s.writer != nil {
		var err error
		if resumed {
			require.NoError(s.t, s.writer.Close())
			s.writer, _, _, err = journal.Open(s.journal)
			require.NoError(s.t, err)
		}
		e, err := s.writer.Append(at, f.Kind(), f)
		require.NoError(s.t, err)
		return e
	}
	run := max(1, s.record.Runs())
	if resumed {
		run++
	}
	body, err := json.Marshal(f)
	require.NoError(s.t, err)
	return journal.Entry{N: s.n, At: at, Run: run, Elapsed: s.now, Kind: f.Kind(), Body: body}
}

// bytes is the journal, which is closed.
func (s *story) bytes() []byte {
	s.t.Helper()
	require.NoError(s.t, s.writer.Close())
	c, err := journal.ReadFile(s.journal)
	require.NoError(s.t, err)
	return c.Whole
}
