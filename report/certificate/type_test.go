package certificate

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Where a text is broken into lines. Common practice, no source.
func TestWordsAreParted(t *testing.T) {
	lines := func(text string, width float64) (out []string) {
		for _, l := range typeset(text, sizeText, false, width) {
			out = append(out, l.text)
			assert.LessOrEqual(t, l.width, width, text)
		}
		return out
	}
	long := lines("Riegelkontaktüberwachungseinrichtung", 40)
	assert.Len(t, long, 2)
	assert.True(t, strings.HasSuffix(long[0], "-"), long)
	assert.Equal(t, []string{"Alarmsystemtechnik-", "Instandhaltung"}, lines("Alarmsystemtechnik-Instandhaltung", 40))
	for _, l := range lines("0123456789abcdef0123456789abcdef", 30) {
		assert.False(t, strings.HasSuffix(l, "-"), "no hyphen in a number: %s", l)
	}
}

// The last line of a paragraph is not one short word, unless the line above would be left shorter than it.
func TestLastLinesAreNotOneWord(t *testing.T) {
	const text = "a fitting that nobody knew of before it was asked of the customer"
	f := faceFor(text, false)
	width := f.measure(strings.TrimSuffix(text, " customer"), sizeText) + 1
	assert.Equal(t, []string{"a fitting that nobody knew of before it was asked of", "the customer"},
		f.breakLines(text, sizeText, width, true))
	assert.Equal(t, "customer", f.breakLines(text, sizeText, width, false)[1])
	assert.Equal(t, []string{"two", "words"}, f.breakLines("two words", sizeText, f.measure("words", sizeText)+0.1, true))
}
