package typed

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// briefly is a language that says how things stand.
type briefly struct{ codes }

func (b briefly) Say(p ask.Phrase) string {
	switch p := p.(type) {
	case ask.StandsSo:
		text := string(p.Standing)
		if p.Current {
			text += "!"
		}
		return text
	case Tally:
		return fmt.Sprint(p.N, " ", p.Standing)
	case AllSettled:
		return fmt.Sprint("settled ", p.Zones, " ", p.Detectors)
	case ask.ReportsNow:
		if p.State == signal.Unknown {
			return "unknown"
		}
		return string(p.State)
	case BoardHead:
		return fmt.Sprint(p.Site, " ", p.Open, "/", p.All)
	case ItemSo:
		return strings.TrimSpace(string(p.Result) + " " + p.Remark)
	}
	return b.codes.Say(p)
}

func zoneOf(number int, name string, now signal.State, standings ...ask.Standing) ask.BoardZone {
	z := ask.BoardZone{Name: programme.ZoneName{Number: number, Name: name}, Now: now}
	for i, s := range standings {
		z.Detectors = append(z.Detectors, ask.BoardDetector{Point: site.Point(fmt.Sprint(number, ".", i+1)),
			Name: "Contact", Standing: s})
	}
	return z
}

func aBoard() ask.Board {
	return ask.Board{Site: "Yard", All: 6, Open: 2, Current: "2.1", Connected: true, Zones: []ask.BoardZone{
		zoneOf(1, "Door", signal.Restored, ask.ProvedStanding),
		zoneOf(2, "Windows", signal.Active, ask.OpenStanding, ask.FailedStanding, ask.ProvedStanding),
		zoneOf(3, "Store", signal.Unknown, ask.LeftOutStanding),
		zoneOf(12, "Kiln", signal.Tamper, ask.ReportedStanding)}}
}

// A zone is a line with what it reports and each of its detectors by sign and word; a
// narrow window has them below.
func TestABoard(t *testing.T) {
	assert.Equal(t, []string{
		"Yard 2/6",
		"✓ 2 proved · ◐ 1 reported · – 1 left-out · ✗ 1 failed · ○ 1 open",
		"1 Door     restored  ✓ 1.1 Contact proved",
		"2 Windows  active    ○ 2.1 Contact open! · ✗ 2.2 Contact failed",
		"                     ✓ 2.3 Contact proved",
		"3 Store    unknown   – 3.1 Contact left-out",
		"12 Kiln    tamper    ◐ 12.1 Contact reported",
	}, Board(briefly{}, aBoard(), Look{Columns: 79}))
	assert.Equal(t, []string{
		"2 Windows  active",
		"   ○ 2.1 Contact open!",
		"   ✗ 2.2 Contact failed",
		"   ✓ 2.3 Contact proved",
	}, Board(briefly{}, aBoard(), Look{Columns: 39})[5:9])
}

// Where there is no room, what is settled is counted, unless the whole is wished. What a
// zone reports that is not rest is seen all the same.
func TestABoardWithoutRoom(t *testing.T) {
	want := []string{
		"2 Windows  active  ○ 2.1 Contact open! · ✗ 2.2 Contact failed · ✓ 1 proved",
		"12 Kiln    tamper  ◐ 1 reported",
		"settled 2 2",
	}
	assert.Equal(t, want, Board(briefly{}, aBoard(), Look{Columns: 79, Rows: 6})[2:])
	assert.Len(t, Board(briefly{}, aBoard(), Look{Columns: 79, Rows: 7}), 7)
	assert.Len(t, Board(briefly{}, aBoard(), Look{Columns: 79, Rows: 6, Whole: true}), 7)

	b := aBoard()
	b.Zones = nil
	for i := range 300 {
		b.Zones = append(b.Zones, zoneOf(i+1, "Zone", signal.Restored, ask.ProvedStanding, ask.ProvedStanding))
	}
	b.Zones[150].Detectors[1].Standing = ask.FailedStanding
	assert.Equal(t, []string{"Yard 2/6", "✓ 599 proved · ✗ 1 failed",
		"151 Zone  restored  ✗ 151.2 Contact failed · ✓ 1 proved", "settled 299 598"},
		Board(briefly{}, b, Look{Columns: 79, Rows: 20}))
}

var sgr = regexp.MustCompile("\x1b\\[[0-9]+m")

// Colour only adds: without it every word and sign is there. No line is wider than the
// window, whatever things are called, and nothing in a name moves the cursor.
func TestBoardsFitAndAreSafe(t *testing.T) {
	b := aBoard()
	b.Connected = false
	b.Zones[0].Garbled = "ajar"
	b.Zones[1].Name.Name = "\x1b[2J\u202e" + strings.Repeat("窯", 60)
	b.Zones[1].Detectors[0].Name = strings.Repeat("very long ", 20) + "\n"
	b.Site = strings.Repeat("x", 300)
	for columns := 20; columns <= 120; columns++ {
		plain := Board(briefly{}, b, Look{Columns: columns})
		coloured := Board(briefly{}, b, Look{Columns: columns, Colour: true})
		for i, l := range plain {
			assert.LessOrEqual(t, screen.Width(l), columns, l)
			assert.Equal(t, l, sgr.ReplaceAllString(coloured[i], ""))
			assert.NotContains(t, l, "\x1b")
		}
		all := strings.Join(plain, "\n")
		for _, want := range []string{"not understood", "failed", "open!", "typed/not-connected"} {
			assert.Contains(t, all, want, "%d columns", columns)
		}
	}
	assert.Contains(t, strings.Join(Board(briefly{}, b, Look{Columns: 79, Colour: true}), "\n"), "\x1b[31m✗ 2.2")
}

func TestAVerdictStandsBesideItsDetector(t *testing.T) {
	z := zoneOf(1, "Door", signal.Restored, ask.FailedStanding)
	z.Detectors[0].Verdict = record.Silent
	said := ask.Phrase(nil)
	listen := sayer(func(p ask.Phrase) string {
		if so, is := p.(ask.StandsSo); is {
			said = so
		}
		return p.Code()
	})
	Board(listen, ask.Board{Zones: []ask.BoardZone{z}}, Look{Columns: 79})
	assert.Equal(t, ask.StandsSo{Standing: ask.FailedStanding, Verdict: record.Silent}, said)
}

type sayer func(ask.Phrase) string

func (s sayer) Say(p ask.Phrase) string { return s(p) }

// Lines of a list are numbered, with what was answered; where there is no room, only what
// is open is shown in full.
func TestLists(t *testing.T) {
	q := ask.Question{Takes: ask.Items{Of: []ask.Item{
		{Word: "9", Label: ask.Verbatim("Cables are labelled at both of their ends."), Result: record.Done},
		{Word: "10", Label: ask.Verbatim("\x1b[2JNo mains wiring was opened or touched by anyone"),
			Result: record.Defect, Remark: "no earth at the outlet"},
		{Word: "11", Label: ask.Verbatim("Covers are closed and none of them is cracked")}}}}
	say := sayer(func(p ask.Phrase) string {
		if v, is := p.(ask.Verbatim); is {
			return string(v)
		}
		return briefly{}.Say(p)
	})
	assert.Equal(t, []string{
		"  9 ✓  Cables are labelled at both of",
		"       their ends: done",
		" 10 ✗  ␛[2JNo mains wiring was opened or",
		"       touched by anyone: defect no earth",
		"       at the outlet",
		" 11 ○  Covers are closed and none of them",
		"       is cracked",
	}, List(say, q, Look{Columns: 41}))
	assert.Equal(t, []string{
		"  9 ✓  Cables are labelled at bot…: done",
		" 10 ✗  ␛[2JNo mains w…: defect no earth…",
		" 11 ○  Covers are closed and none of",
		"       them is cracked",
	}, List(say, q, Look{Columns: 40, Rows: 5}))
	assert.Nil(t, List(say, ask.Question{Takes: ask.Line{}}, Look{Columns: 40}))
}

// The code is shown whole or not at all, the address always.
func TestPairing(t *testing.T) {
	p := ask.Pairing{Address: "https://192.0.2.7:7443/#token", Code: slices.Repeat([]string{strings.Repeat("█", 33)}, 17),
		Fingerprint: "0b:5e"}
	say := sayer(func(p ask.Phrase) string {
		switch p := p.(type) {
		case AddressIs:
			return "camera or " + p.Address
		case FingerprintIs:
			return "fingerprint " + p.Fingerprint
		}
		return p.Code()
	})
	for _, tc := range []struct {
		look Look
		rows int
		code bool
		has  string
	}{
		{Look{Columns: 79, Rows: 19}, 19, true, "fingerprint"}, // below
		{Look{Columns: 79, Rows: 18}, 17, true, "fingerprint"}, // beside
		{Look{Columns: 50, Rows: 18}, 18, true, "█"},           // the address alone
		{Look{Columns: 50, Rows: 17}, 3, false, "typed/no-room"},
		{Look{Columns: 32, Rows: 99}, 3, false, "typed/no-room"},
		{Look{Columns: 33}, 20, true, "fingerprint"},
	} {
		lines := Pairing(say, p, tc.look)
		all := strings.Join(lines, "\n")
		assert.Len(t, lines, tc.rows, "%v", tc.look)
		assert.Equal(t, tc.code, strings.Contains(all, "█"), "%v", tc.look)
		assert.Contains(t, all, p.Address, "%v", tc.look)
		assert.Contains(t, all, tc.has, "%v", tc.look)
		for _, l := range lines {
			assert.LessOrEqual(t, screen.Width(l), tc.look.Columns, "%v", tc.look)
		}
	}
	p.Fingerprint = ""
	assert.Contains(t, strings.Join(Pairing(say, p, Look{Columns: 79}), "\n"), "typed/unencrypted")
	assert.Equal(t, NotPairedHint, Holder(p))
	p.Device = "phone"
	assert.Equal(t, HeldBy{"phone"}, Holder(p))
}
