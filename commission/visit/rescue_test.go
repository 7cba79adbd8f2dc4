package visit

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// atQuestion lets something happen once, when a question is asked.
type atQuestion struct {
	ask.Operator
	id   string
	does func()
	done bool
}

func (o *atQuestion) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	if q.ID == o.id && !o.done {
		o.done = true
		o.does()
	}
	return o.Operator.Ask(ctx, q)
}

const sounderAnswers = `
answers:
  - {when: inspection/people-told, say: done}
  - {when: outputs/Sounder, say: energise}
  - {when: "*/energise", say: "yes"}
  - {when: "*/heard", say: "yes"}
  - {when: "*/level", say: 90 dB at 3 m}
  - {when: "*/current", say: ""}
  - {when: "*/cut-off", say: ""}
`

// sounderVisit are two steps at oneDoor, the second with a sounder that is on while its
// questions stand.
func sounderVisit(t *testing.T) record.Opened {
	t.Helper()
	opened := openedFor(t, siteOf(t, oneDoor))
	var some []programme.Step
	for _, s := range opened.Programme {
		if s.ID == "inspection/people-told" || s.ID == "outputs/Sounder" {
			some = append(some, s)
		}
	}
	require.Len(t, some, 2)
	opened.Programme = some
	return opened
}

// meddled runs a visit whose journal somebody changes while its sounder is on.
func meddled(t *testing.T, path string, meddle func()) (out string, source *timeline, err error) {
	t.Helper()
	source = &timeline{}
	b := newBench(t, source, clock.Real{}, sounderAnswers)
	b.config.Operator = &atQuestion{Operator: b.config.Operator, id: "outputs/Sounder/heard", does: meddle}
	b.config.Refuges = []string{filepath.Dir(filepath.Dir(filepath.Dir(path)))}
	v, err := Start(b.config, path, sounderVisit(t))
	require.NoError(t, err)
	err = v.Run(t.Context())
	_ = v.Close()
	return b.out.String(), source, err
}

// "Complete: satisfactory" was said over a journal that was gone, cut or written by others.
// It stops the visit, the sounder is off, and the copy that is told goes on as the visit.
func TestAVisitWhoseJournalIsChangedStopsAndIsGoneOnWith(t *testing.T) {
	for name, meddle := range map[string]func(path string) error{
		"file removed":   os.Remove,
		"folder removed": func(path string) error { return os.RemoveAll(filepath.Dir(path)) },
		"folder moved": func(path string) error {
			return os.Rename(filepath.Dir(path), filepath.Dir(path)+"-moved")
		},
		"cut":       func(path string) error { return os.Truncate(path, 100) },
		"rewritten": func(path string) error { return os.WriteFile(path, []byte("rubbish\n"), 0o600) },
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				job := t.TempDir()
				path := filepath.Join(job, "visits", "handover", "journal.jsonl")
				out, source, err := meddled(t, path, func() { require.NoError(t, meddle(path)) })
				require.ErrorIs(t, err, ErrJournal)
				require.ErrorIs(t, err, journal.ErrChanged)
				assert.False(t, source.sounding["Sounder"], "it is off all the same")
				assert.Contains(t, out, "THE VISIT STOPS")
				assert.Equal(t, 1, strings.Count(out, "THE VISIT STOPS"))
				assert.Contains(t, out, "  1. ", "the steps are numbered")
				lines := strings.Split(strings.TrimSpace(out), "\n")
				assert.Equal(t, "Switched off: Sounder.", lines[len(lines)-1], "the last word is of the siren")
				copied := rescued(t, job)
				assert.Contains(t, strings.Join(strings.Fields(out), ""), copied, "where it is")
				goesOnWith(t, copied, path)
			})
		})
	}
}

// Once a visit has ended over its journal, its record says what is on disk.
func TestTheRecordOfAVisitThatFailedIsWhatIsDurable(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "visits", "handover", "journal.jsonl")
		b := newBench(t, &timeline{}, clock.Real{}, sounderAnswers)
		b.config.Operator = &atQuestion{Operator: b.config.Operator, id: "outputs/Sounder/heard",
			does: func() { require.NoError(t, os.Truncate(path, 100)) }}
		v, err := Start(b.config, path, sounderVisit(t))
		require.NoError(t, err)
		require.ErrorIs(t, v.Run(t.Context()), ErrJournal)
		durable, err := v.journal.Durable()
		require.NoError(t, err)
		memory, err := v.journal.Memory()
		require.NoError(t, err)
		assert.Greater(t, len(memory.Entries), len(durable.Entries))
		assert.Equal(t, len(durable.Entries), v.Record().Entries())
		require.NoError(t, v.Close())
	})
}

// The copy went to another folder though it was known where the journal's is now.
func TestTheCopyOfAMovedJournalLiesInItsNewFolder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		job := t.TempDir()
		folder := filepath.Join(job, "visits", "handover")
		_, _, err := meddled(t, filepath.Join(folder, "journal.jsonl"), func() {
			require.NoError(t, os.Rename(folder, folder+"-moved"))
		})
		require.ErrorIs(t, err, journal.ErrMoved)
		if _, err := os.Stat("/proc/self/fd"); err != nil {
			t.Skip("this system does not tell where an open file is")
		}
		assert.Equal(t, folder+"-moved", filepath.Dir(rescued(t, job)))
	})
}

// rescued is the one copy that there is in a job's folder.
func rescued(t *testing.T, job string) string {
	t.Helper()
	var found []string
	require.NoError(t, filepath.Walk(job, func(path string, _ os.FileInfo, err error) error {
		if strings.Contains(path, ".rescued-after-") {
			found = append(found, path)
		}
		return err
	}))
	require.Len(t, found, 1)
	return found[0]
}

// goesOnWith copies a rescued journal back and resumes the visit to its end.
func goesOnWith(t *testing.T, copied, path string) {
	t.Helper()
	data, err := os.ReadFile(copied)
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o700))
	require.NoError(t, os.WriteFile(path, data, 0o600))
	b := newBench(t, &timeline{}, clock.Real{}, sounderAnswers)
	v, err := Resume(b.config, path)
	require.NoError(t, err)
	r := v.Record()
	assert.Equal(t, record.Done, r.Find("inspection/people-told").Result(), "nothing is asked again")
	assert.Empty(t, r.Energised(), "that it went off is in the copy")
	require.NoError(t, v.Run(t.Context()), b.out.String())
	require.NoError(t, v.Close())
	assert.True(t, v.Record().Done())
	assert.NotContains(t, b.out.String(), "THE VISIT STOPS")
}

// A journal whose lock was removed is as it was written: no copy, and the visit goes on.
func TestAVisitWhoseLockIsRemovedStopsWithoutACopy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		job := t.TempDir()
		path := filepath.Join(job, "visits", "handover", "journal.jsonl")
		out, source, err := meddled(t, path, func() { require.NoError(t, os.Remove(path+".lock")) })
		require.ErrorIs(t, err, journal.ErrLockRemoved)
		require.ErrorIs(t, err, ErrJournal)
		assert.False(t, source.sounding["Sounder"])
		assert.Contains(t, out, "lock beside")
		matches, err := filepath.Glob(path + ".rescued*")
		require.NoError(t, err)
		assert.Empty(t, matches)
		b := newBench(t, &timeline{}, clock.Real{}, sounderAnswers)
		v, err := Resume(b.config, path)
		require.NoError(t, err)
		require.NoError(t, v.Run(t.Context()))
		require.NoError(t, v.Close())
	})
}

// Where no folder takes a copy, that is told.
func TestNoCopyIsTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "visits", "handover", "journal.jsonl")
		t.Setenv("TMPDIR", filepath.Join(t.TempDir(), "none"))
		out, _, err := meddled(t, path, func() { require.NoError(t, os.RemoveAll(filepath.Join(path, "../../.."))) })
		require.ErrorIs(t, err, ErrJournal)
		assert.Contains(t, out, "NO COPY")
	})
}

// What happened to the journal behind the last entry is found before the visit is called
// complete, and before it is called paused.
func TestTheJournalIsReadAgainAtTheEnd(t *testing.T) {
	for name, answers := range map[string]string{
		"complete": sounderAnswers, "paused": "answers:\n  - {when: inspection/people-told, say: done}\n",
	} {
		synctest.Test(t, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "journal.jsonl")
			source := &closedOver{}
			b := newBench(t, source, clock.Real{}, answers)
			v, err := Start(b.config, path, sounderVisit(t))
			require.NoError(t, err)
			source.does = func() {
				data, err := os.ReadFile(path)
				require.NoError(t, err)
				data[len(data)/2] ^= 1
				f, err := os.OpenFile(path, os.O_WRONLY, 0)
				require.NoError(t, err)
				_, err = f.Write(data)
				require.NoError(t, err)
				require.NoError(t, f.Close())
			}
			err = v.Run(t.Context())
			require.ErrorIs(t, err, journal.ErrRewritten, name)
			require.ErrorIs(t, err, ErrJournal, name)
			require.NoError(t, v.Close())
			goesOnWith(t, rescued(t, filepath.Dir(path)), path)
		})
	}
}

// closedOver is a source at whose end something happens.
type closedOver struct {
	timeline
	does func()
}

func (c *closedOver) Close() error {
	if c.does != nil {
		c.does()
	}
	return c.timeline.Close()
}

// A visit that nobody disturbs leaves no copy, and nothing but its journal and lock.
func TestAnUndisturbedVisitLeavesNoCopy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "journal.jsonl")
		_, _, err := meddled(t, path, func() {})
		require.NoError(t, err)
		files, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
		require.NoError(t, err)
		assert.Equal(t, []string{path, path + ".lock"}, files)
	})
}

// An entry that the fold refuses was written first, and from then on nothing read the
// journal. None of its batch is written; the visit ends, and what is on disk goes on.
func TestNothingIsWrittenThatTheFoldRefuses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
		d := &disk{}
		v := b.on(t, d, "inspection/people-told", "inspection/mains")
		require.NoError(t, v.add(v.source.About()))
		receiver{v}.Signal(active("z1"))
		err := v.add(record.Note{Step: "inspection/mains", Text: strings.Repeat("x", 70_000)})
		require.ErrorIs(t, err, record.ErrNoSense)
		assert.Equal(t, "opened listening", kinds(d.kept(t)))
		folded, err := record.Fold(d.kept(t))
		require.NoError(t, err)
		assert.Equal(t, folded, v.Record(), "the record is what the journal says")
		require.ErrorIs(t, v.look(func(*record.Record) {}), record.ErrNoSense, "the visit ends")
		require.NoError(t, v.add(record.Note{Step: "inspection/mains", Text: "short"}), "and writes until then")
		assert.Equal(t, "opened listening note", kinds(d.kept(t)))
	})
}

// A visit whose own entry is refused ends with words, pauses, and can be read.
func TestARefusedEntryEndsTheVisitInAPause(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t, &timeline{}, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
		d := &disk{}
		v := b.on(t, d, "inspection/people-told", "inspection/mains")
		v.operator = &atQuestion{Operator: v.operator, id: "inspection/mains", does: func() {
			_ = v.add(record.Answer{Step: "no such step", Result: record.Done})
		}}
		err := v.Run(t.Context())
		require.ErrorIs(t, err, record.ErrNoSense)
		assert.ErrorContains(t, err, "is not written")
		assert.NotErrorIs(t, err, ErrJournal)
		kept := d.kept(t)
		assert.Equal(t, "paused", kept[len(kept)-1].Kind)
		_, err = record.Fold(kept)
		require.NoError(t, err)
	})
}

// One message from outside destroyed a visit. What the record refuses is left out, and
// counted where it would have stood; the visit goes on.
func TestAReportThatTheRecordRefusesIsCountedAsLost(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
		d := &disk{}
		b.config.Operator = &busyOperator{Operator: b.config.Operator, during: func() {
			source.to.Signal(active("z1"))
			source.to.Signal(signal.Signal{At: clock.Real{}.Now(), Address: "z1", State: "melted"})
			source.to.Connection(signal.Connection{Up: true, Why: "by magic"})
			source.to.(signal.Sampler).Sample(signal.Sample{At: clock.Real{}.Now(), Volt: 12}) // nobody listens to it
			source.to.Signal(active("z2"))
		}}
		v := b.on(t, d, "inspection/people-told")
		require.NoError(t, v.Run(t.Context()))
		assert.Equal(t, 2, v.Record().Signals())
		assert.Equal(t, 2, v.Record().Lost())
		folded, err := record.Fold(d.kept(t))
		require.NoError(t, err)
		assert.Equal(t, folded, v.Record(), "what is refused has not changed the record")
		assert.Contains(t, b.out.String(), "SIGNALS WERE LOST: 2")
	})
}

// A journal without room ends the visit with a pause that anybody reads: no visit writes
// what no reader takes.
func TestAFullJournalEndsInAPause(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("takes a minute then")
	}
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		b := newBench(t, source, clock.Real{}, "answers:\n  - {when: \"inspection/*\", say: done}\n")
		d := &disk{}
		v := b.on(t, d, "inspection/people-told")
		v.operator = &atQuestion{Operator: v.operator, id: "inspection/people-told", does: func() {
			long := record.Note{Step: "inspection/people-told", Text: strings.Repeat("x", oneline.Longest)}
			const most = journal.MostBytes - 1<<20 // what a run may write before its end
			many := most / 4210                    // a little more than one takes
			require.NoError(t, v.write(slices.Repeat([]arrival{{at: clock.Real{}.Now(), fact: long}}, many)))
			room := func() int { return most - len(d.durable) }
			before := room()
			require.NoError(t, v.add(long))
			line := before - room()
			for room() > line {
				require.NoError(t, v.add(long))
			}
			last := long
			last.Text = long.Text[:len(long.Text)-(line-room())-10] // times have fewer digits or more
			require.NoError(t, v.add(last))
			require.Less(t, room(), 30)
			require.ErrorIs(t, v.add(long), journal.ErrFull)
			source.to.Signal(active("z1")) // no room is left for it
		}}
		err := v.Run(t.Context())
		require.ErrorIs(t, err, journal.ErrFull)
		assert.NotErrorIs(t, err, ErrJournal)
		assert.True(t, strings.HasSuffix(kinds(d.kept(t)), "×note part-answer answer paused"), "and no signal")
	})
}
