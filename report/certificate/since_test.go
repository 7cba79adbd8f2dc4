package certificate

import (
	"encoding/json"
	"fmt"
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
	"loopwitness/commission/words"
)

// after is the pottery's visit as one that took in so many earlier ones, a year apart: one
// detector got slower from each to the next, and the battery weaker.
func after(t testing.TB, visits int, change func(n int, e *record.Earlier)) *judge.Assessment {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/pottery-handover.jsonl")
	require.NoError(t, err)
	entries := contents.Entries
	r, err := record.Fold(entries)
	require.NoError(t, err)
	opened := r.Opened()
	for n := visits; n > 0; n-- {
		e := judge.Assess(r).Remembered(fmt.Sprintf("%064x", 4096*n))
		e.Begun, e.Ended, e.Site = e.Begun.AddDate(-n, 0, 0), e.Ended.AddDate(-n, 0, 0), ""
		e.Number = fmt.Sprintf("PS-0042 / %s maintenance", e.Begun.Format(time.DateOnly))
		for i := range e.Detectors {
			d := &e.Detectors[i]
			if d.Point == "1.1" && d.Response > 0 {
				d.Response -= time.Duration(n) * 120 * time.Millisecond
			} else if d.Response > 0 {
				d.Response += time.Duration(30*((i+n)%3)-30) * time.Millisecond
			}
		}
		for i := range e.Readings {
			if e.Readings[i].Quantity == record.VoltageReading && e.Readings[i].AfterSeconds > 0 {
				e.Readings[i].Value += 0.06 * float64(n)
			}
		}
		if change != nil {
			change(n, &e)
		}
		opened.Earlier = append(opened.Earlier, e)
	}
	opened.Visit = programme.Maintenance
	body, err := json.Marshal(opened)
	require.NoError(t, err)
	changed := append([]journal.Entry(nil), entries...)
	changed[0].Body = body
	r, err = record.Fold(changed)
	require.NoError(t, err)
	return judge.Assess(r)
}

func sinceOf(t testing.TB, a *judge.Assessment) (Document, string) {
	t.Helper()
	d := Write(a, Options{Language: words.English{}, Revision: 1, Tool: "loopwitness test", Journal: strings.Repeat("0123456789abcdef", 4)})
	for _, s := range d.Sections {
		if strings.HasPrefix(s.Title, "Since the last visit") {
			var b strings.Builder
			for _, block := range s.Blocks {
				writeBlock(func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }, block)
			}
			return d, s.Title + "\n" + b.String()
		}
	}
	return d, ""
}

func TestLook(t *testing.T) {
	a := after(t, 5, nil)
	d, text := sinceOf(t, a)
	t.Log(text)
	pdf, err := Render(d, made)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("/dev/shm/tmp-trend/since.pdf", pdf, 0o600))
	_ = assert.True
}
