package certificate

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// A visit after others shows what they left and what came of it, what changed at the premises
// since, and whose records they are; one after none has no section of these.
func TestEarlierVisitsAreShown(t *testing.T) {
	entries := recorded(t, 0)
	r, err := record.Fold(entries)
	require.NoError(t, err)
	headings := []string{"# What earlier visits left outstanding", "# What changed at the premises",
		"# Records of earlier visits"}
	plain := Write(judge.Assess(r), Options{Language: words.English{}}).PlainText()
	for _, h := range headings {
		assert.NotContains(t, plain, h)
	}
	then := judge.Assess(r).Remembered(strings.Repeat("1", 64))
	then.Certificate, then.SealedRules = strings.Repeat("2", 64), then.Rules
	then.SealedBy = &record.SealedBy{Name: "Marlpit", Fingerprint: strings.Repeat("3", 64)}
	then.Outstanding = append(then.Outstanding, record.Outstanding{ID: "F9", Severity: "fault",
		Steps: []string{"inspection/gone"}, Said: []byte(`{"code":"tomorrow"}`), Shown: "the hinge is loose"})
	o := r.Opened()
	o.Visit, o.Earlier = programme.Maintenance, []record.Earlier{then}
	o.Programme = o.Completed(r.Site(), o.Programme, nil)
	first := entryOf(t, entries[0], o)
	answered := first
	answered.N, answered.Kind = 2, record.Answer{}.Kind()
	step := programme.OutstandingID(then.Number[strings.LastIndexByte(then.Number, '/')+1:], "F9")
	answered = entryOf(t, answered, record.Answer{Step: step, Result: record.Yes})
	later, err := record.Fold([]journal.Entry{first, answered})
	require.NoError(t, err)
	text := Write(judge.Assess(later), Options{Language: words.English{}}).PlainText()
	for _, h := range headings {
		assert.Contains(t, text, h)
	}
	for _, part := range []string{"“the hinge is loose”", "put right, found so on this visit", strings.Repeat("1", 64),
		strings.Repeat("2", 64), strings.Repeat("3", 64), "by whom is not proved", "nothing that is fitted"} {
		assert.Contains(t, text, part)
	}
	o.Site = strings.Replace(o.Site, "capacity: 7 Ah", "capacity: 9 Ah", 1)
	changed, err := record.Fold([]journal.Entry{entryOf(t, first, o)})
	require.NoError(t, err)
	text = Write(judge.Assess(changed), Options{Language: words.English{}}).PlainText()
	assert.Contains(t, text, "another battery, capacity of the battery: “7 Ah” before, “9 Ah” now")
}

// entryOf is an entry with another fact, a year later.
func entryOf(t testing.TB, e journal.Entry, f record.Fact) journal.Entry {
	t.Helper()
	e.At, e.Kind, e.Body = e.At.Add(365*24*time.Hour), f.Kind(), bodyOf(t, f)
	return e
}
