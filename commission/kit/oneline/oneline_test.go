package oneline

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// What characters do is that of the Unicode Character Database (looked up by its names).
func TestWhatOneLineHolds(t *testing.T) {
	for text, clean := range map[string]string{
		"Wren Abara":                    "Wren Abara",
		" Wren\tAbara\r\n":              "Wren Abara",
		"Ann\nAPPROVED":                 "Ann APPROVED",
		"a\u2028b\u2029c\u0085d":        "a b c d",
		"a\u200bb\ufeffc\u00add":        "abcd", // zero width space, byte order mark, soft hyphen
		"\u202eevil\u2066x\u200f":       "evilx",
		"\x1b[2J\x07\x00":               "[2J",
		"\u3164\u115f\u034f":            "", // fillers, combining grapheme joiner
		"\ue000":                        "", // private use
		"\xff":                          "\ufffd",
		"می\u200cخواهم":                 "می\u200cخواهم",
		"👩\u200d🔧 🏺 Žák שלום":           "👩\u200d🔧 🏺 Žák שלום",
		"no-break\u00a0space, 5\u202fV": "no-break\u00a0space, 5\u202fV",
	} {
		assert.Equal(t, clean, Clean(text), "%q", text)
		assert.Equal(t, strings.TrimSpace(text) == clean, CheckSeen(strings.TrimSpace(text)) == nil, "%q", text)
	}
	assert.NoError(t, Check(strings.Repeat("a", Longest)))
	assert.ErrorIs(t, Check(strings.Repeat("a", Longest+1)), ErrText)
	assert.NoError(t, CheckSeen(strings.Repeat("a", Longest+1)))
	assert.ErrorContains(t, Check("a\u202eb"), "U+202E")
	assert.ErrorContains(t, Check("a\xffb"), "UTF-8")
}

// What is cleaned once can be held, and stays as it is.
func TestCleaningIsDoneOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once := Clean(rapid.String().Draw(t, "text"))
		assert.Equal(t, once, Clean(once))
		assert.NoError(t, CheckSeen(once))
	})
}

func TestBlank(t *testing.T) {
	for text, want := range map[string]bool{
		"": true, " \t\n": true, "\u00a0": true, "\u200d": true, "\u2800": true, "\u3164": true, "\u0301": true,
		"-": false, "A": false, " 7 ": false, "王": false, "ش": false,
	} {
		assert.Equal(t, want, Blank(text), "%q", text)
	}
}
