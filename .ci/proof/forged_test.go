package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// keptJournal is one of testdata/journals.
func keptJournal(t *testing.T, name string) honest {
	t.Helper()
	all, err := here(t).keptJournals()
	require.NoError(t, err)
	for _, h := range all {
		if h.name == name {
			return h
		}
	}
	t.Fatalf("no journal %s", name)
	return honest{}
}

// A forgery that no law tells is unnoticed where it was written for the journal, and
// elsewhere where it makes anything better.
func TestForgeriesThatAreNotToldAreUnnoticed(t *testing.T) {
	noted := func(f *dryrun.Forged) { f.Insert(f.Of("cue")[0], 0, record.Note{Step: "walk/1.1", Text: "fine"}) }
	h := keptJournal(t, writtenFor)
	applies, came := faces(newTally(), h, dryrun.Forgery{Name: "a note", Law: record.LawDue, Forge: noted})
	assert.True(t, applies)
	assert.ErrorAs(t, came, new(unnoticed))

	impatient := func(f *dryrun.Forged) {
		f.Insert(f.Of("cue")[0], 3*time.Minute, record.Absent{LastedNS: (3 * time.Minute).Nanoseconds()})
	}
	for law, told := range map[record.Law]bool{record.LawNotLong: true, record.LawOffAtEnd: false} {
		_, came = faces(newTally(), h, dryrun.Forgery{Law: law, Forge: impatient})
		assert.Equal(t, told, came == nil, "%s: %v", law, came)
	}
	applies, _ = faces(
		newTally(),
		h,
		dryrun.Forgery{Forge: func(f *dryrun.Forged) { f.Put(f.Of("none")[0], record.Note{}) }},
	)
	assert.False(t, applies)
}

func TestWhatIsBetterThanHonestIsUnnoticed(t *testing.T) {
	was := outcome{
		resultKey:                   string(judge.Unsatisfactory),
		"finding late walk/1.1 1.1": "fault",
		"verdict walk/1.1":          "late",
	}
	assert.NoError(t, showsNoMore(was, was))
	for key, with := range map[string]string{resultKey: string(judge.WithLimitations),
		"verdict walk/1.1": "proved"} {
		better := outcome{"finding late walk/1.1 1.1": "fault", resultKey: was[resultKey], "verdict walk/1.1": "late"}
		better[key] = with
		assert.ErrorAs(t, showsNoMore(was, better), new(unnoticed), key)
		assert.NoError(t, showsNoMore(better, was), "worse: %s", key)
	}
	assert.ErrorContains(t, showsNoMore(was, outcome{resultKey: was[resultKey], "verdict walk/1.1": "late"}), "is gone")
}

// An honest journal that breaks a law is lost.
func TestAnHonestBreachIsNoticed(t *testing.T) {
	h := keptJournal(t, writtenFor)
	assert.NoError(t, lawful(h))
	f := &dryrun.Forged{Entries: append(h.entries[:0:0], h.entries...)}
	f.Shift(f.Of("cue")[0], -time.Minute)
	assert.ErrorContains(t, lawful(honest{entries: f.Entries}), "breaks laws")
}
