package extract

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// aYearLater is a maintenance visit of the pottery that has just begun, after its hand-over.
func aYearLater(t testing.TB) *judge.Assessment {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	c, err := journal.Read(bytes.NewReader(raw))
	require.NoError(t, err)
	r, err := record.Fold(c.Entries)
	require.NoError(t, err)
	then := judge.Assess(r).Remembered(strings.Repeat("1", 64))
	then.Outstanding = append(then.Outstanding, record.Outstanding{ID: "F9", Severity: "fault", Step: "inspection/gone",
		Steps: []string{"inspection/gone"}, Said: []byte(`{"code":"tomorrow"}`), Shown: "the hinge is loose"})
	o := r.Opened()
	o.Visit, o.Earlier = programme.Maintenance, []record.Earlier{then}
	o.Site = strings.Replace(o.Site, "capacity: 7 Ah", "capacity: 9 Ah", 1)
	o.Programme = o.Completed(r.Site(), o.Programme, nil)
	body, err := journal.Marshal(o)
	require.NoError(t, err)
	e := c.Entries[0]
	e.At, e.Body = e.At.Add(365*24*time.Hour), body
	later, err := record.Fold([]journal.Entry{e})
	require.NoError(t, err)
	return judge.Assess(later)
}

func TestEarlierVisitsAreExtracted(t *testing.T) {
	d := From(aYearLater(t), strings.Repeat("2", 64), "test")
	require.Len(t, d.EarlierVisits, 1)
	assert.Equal(t, []string{strings.Repeat("1", 64), "handover", "satisfactory with limitations"},
		[]string{d.EarlierVisits[0].RecordSHA256, d.EarlierVisits[0].Kind, d.EarlierVisits[0].Result})
	require.NotEmpty(t, d.Outstanding)
	last := d.Outstanding[len(d.Outstanding)-1]
	assert.Equal(t, []string{"F9", "fault", "not looked at"}, []string{last.ID, last.Severity, last.CameOfIt})
	assert.Contains(t, last.Text, "“the hinge is loose”")
	require.NotNil(t, d.Since)
	require.Len(t, d.Since.Changes, 1)
	assert.Equal(t, []string{"battery-changed", "7 Ah", "9 Ah"},
		[]string{d.Since.Changes[0].Code, d.Since.Changes[0].Before, d.Since.Changes[0].Now})
	assert.Nil(t, d.Sampling)
}
