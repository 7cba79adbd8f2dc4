package screen

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
)

func TestCleanMakesDangerousCharactersVisible(t *testing.T) {
	for in, want := range map[string]string{
		"plain é Ω 窯 🏺": "plain é Ω 窯 🏺",
		"a\x1b[2Jb":     "a␛[2Jb",
		"a\tb\nc\x7f":   "a␉b␊c␡",
		"\u202eevil":    "¤evil",
		"שלום":          "שלום",
		"bad \xff utf8": "bad \ufffd utf8",
		"👨\u200d👩":      "👨\u200d👩",
	} {
		assert.Equal(t, want, Clean(in))
	}
}

func TestCutCountsColumnsNotBytes(t *testing.T) {
	assert.Equal(t, "窯元…", Cut("窯元の工房", 5))
	assert.Equal(t, "short", Cut("short", 5))
	assert.Equal(t, 10, Width(Pad("窯元", 10)))
}

func TestWrapKeepsEveryWord(t *testing.T) {
	lines := Wrap("   the zone schedule was left "+strings.Repeat("x", 30), 20)
	for _, l := range lines {
		assert.LessOrEqual(t, Width(l), 20)
		assert.True(t, strings.HasPrefix(l, "   "))
	}
	assert.Equal(t, 30, strings.Count(strings.Join(lines, ""), "x"))
}

// A word that is longer than a line by one column is broken, too.
func TestWrapBreaksWhatIsTooLong(t *testing.T) {
	assert.Equal(t, []string{"xxxxxxxxxx", "x"}, Wrap(strings.Repeat("x", 11), 10))
	assert.Equal(t, []string{"窯窯窯窯窯", "窯"}, Wrap(strings.Repeat("窯", 6), 11))
}

func TestTableGivesWayToTheWindow(t *testing.T) {
	rows := [][]string{{"Point", "Detector"}, {"1.1", strings.Repeat("long ", 30)}, {"1.2", "窯 🏺 short"}}
	for _, window := range []int{30, 60, 200} {
		for _, l := range Table(rows, nil, window) {
			assert.LessOrEqual(t, Width(l), window)
		}
	}
	assert.Contains(t, Table(rows, nil, 0)[2], strings.TrimSpace(rows[1][1]))
}

func FuzzScreen(f *testing.F) {
	f.Add("zone \x1b[31m", 10)
	f.Fuzz(func(t *testing.T, s string, columns int) {
		c := Clean(s)
		if !utf8.ValidString(c) || strings.ContainsAny(c, "\x1b\r\n\t\x00\u202e") {
			t.Fatalf("%q", c)
		}
		columns = 2 + (columns&0xff+256)&0xff
		if w := Width(Cut(c, columns)); w > columns {
			t.Fatalf("%q is %d wide, not %d", Cut(c, columns), w, columns)
		}
		Wrap(c, columns)
	})
}
