package due

import (
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

var written1 = time.Date(2027, 1, 1, 8, 30, 0, 0, time.FixedZone("", 3600))

// hostile has names in several scripts and characters that calendars escape.
func hostile() *Report {
	every := site.Interval{Text: "6 months", Months: 6}
	from := parsed("2026-08-31")
	return &Report{On: parsed("2027-01-01"),
		Systems: []System{{ID: "a", Name: "陶器工房　釉薬、窯；" + strings.Repeat("焼", 60), Reference: `K\P,7;8`,
			Address: "مشغل الفخار, 7 Kiln Yard; Łódź\r\nATTENDEE:mailto:someone", From: from, Counted: "handover",
			Maintenance: site.Maintenance{Interval: every}, Due: every.After(from), Findings: map[string]int{"fault": 2}},
			{ID: "b", Name: "no day", Findings: map[string]int{}}},
		Outstanding: []Matter{{UID: "m", Name: "Келья 🏺👩🏽‍🏭", ID: "F1",
			Of: judge.Finding{Subject: judge.Subject{Part: judge.PartSupply},
				What: judge.NoBattery{}}, Action: record.Action("fit one, soon; then\ntest"), By: parsed("2027-02-28"), Who: "Zoë"},
			{UID: "n", Name: "no day", Of: judge.Finding{What: judge.NoBattery{}}}},
		Batteries: []Battery{{ID: "a", Name: "ours", Until: parsed("2030-01-01")},
			{ID: "c", Name: "its maker's", Until: parsed("2028-02-29"), ByMaker: true}},
		Instruments: []Instrument{{Name: "multimeter 0417", Until: parsed("2027-03-01"), Systems: 3}}}
}

// The rules are those of RFC 5545 (from memory): 3.1 lines end in CRLF, are at most 75 octets without
// it, and go on after CRLF and one blank; 3.3.11 backslash, comma, semicolon and new line are escaped;
// 3.6 PRODID and VERSION once; 3.6.1 UID and DTSTAMP in each event; a date has VALUE=DATE.
func TestCalendarKeepsTheRules(t *testing.T) {
	text := hostile().Calendar(words.English{}, written1)
	require.True(t, utf8.ValidString(text))
	require.True(t, strings.HasSuffix(text, "\r\n"))
	assert.NotContains(t, strings.ReplaceAll(text, "\r\n", ""), "\n")
	assert.NotContains(t, strings.ReplaceAll(text, "\r\n", ""), "\r")
	folded := 0
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		assert.LessOrEqual(t, len(line), 75, line)
		assert.True(t, utf8.ValidString(line), "a character is split: %q", line)
		if strings.HasPrefix(line, " ") {
			folded++
		}
	}
	assert.Greater(t, folded, 3)
	whole := strings.ReplaceAll(text, "\r\n ", "")
	for line := range strings.SplitSeq(whole, "\r\n") {
		assert.False(t, strings.HasPrefix(line, "ATTENDEE"), "typed text made a property")
	}
	assert.Equal(t, 1, strings.Count(whole, "\r\nVERSION:2.0\r\n"))
	assert.Equal(t, 1, strings.Count(whole, "PRODID:"))
	assert.Contains(t, whole, `K\\P\,7\;8`)
	assert.Equal(t, 4, strings.Count(whole, "BEGIN:VEVENT"))
	assert.Equal(t, 4, strings.Count(whole, "DTSTAMP:20270101T073000Z\r\n"))
	assert.Contains(t, whole, "DTSTART;VALUE=DATE:20270228\r\n")
}

// Another reader understands it.
func TestAnotherReaderUnderstands(t *testing.T) {
	r := hostile()
	c, err := ical.NewDecoder(strings.NewReader(r.Calendar(words.English{}, written1))).Decode()
	require.NoError(t, err)
	seen := map[string]bool{}
	days := []string{"2027-02-28", "2027-02-28", "2028-02-29", "2027-03-01"}
	for i, e := range c.Events() {
		day, err := e.DateTimeStart(time.UTC)
		require.NoError(t, err)
		assert.Equal(t, days[i], day.Format(time.DateOnly))
		uid, err := e.Props.Text(ical.PropUID)
		require.NoError(t, err)
		assert.False(t, seen[uid], "a UID twice")
		seen[uid] = true
	}
	assert.Len(t, seen, 4)
	summary, err := c.Events()[0].Props.Text(ical.PropSummary)
	require.NoError(t, err)
	assert.Contains(t, summary, r.Systems[0].Name)
	assert.Contains(t, summary, `K\P,7;8`)
	place, err := c.Events()[0].Props.Text(ical.PropLocation)
	require.NoError(t, err)
	assert.Contains(t, place, "مشغل الفخار, 7 Kiln Yard; Łódź")
}

// An event keeps its UID when it moves and when the site file is mended; no account is told.
func TestEventsStayTheSame(t *testing.T) {
	root := t.TempDir()
	_, of := kept(t, "satisfactory")
	of += "insurer: Fenwick, policy 8830\n"
	of = strings.Replace(of, "monitoring: {centre: none}", "monitoring: {centre: Northmoor, account: \"4471\"}", 1)
	write(t, filepath.Join(root, "job"), interval(of, "6 months"), handover(t))
	uid := func() (uid, text string) {
		text = looking(t, Options{On: on("2027-01-01")}, root).Calendar(words.English{}, written1)
		c, err := ical.NewDecoder(strings.NewReader(text)).Decode()
		require.NoError(t, err)
		uid, err = c.Events()[0].Props.Text(ical.PropUID)
		require.NoError(t, err)
		return uid, text
	}
	before, text := uid()
	assert.NotContains(t, text, "4471")
	assert.NotContains(t, text, "8830")
	write(t, filepath.Join(root, "job"), strings.Replace(interval(of, "1 year"), "Bench", "Studio", 1), nil)
	after, moved := uid()
	assert.Equal(t, before, after)
	assert.NotEqual(t, text, moved)
}
