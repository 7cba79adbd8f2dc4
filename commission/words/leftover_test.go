package words_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/judge"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

var (
	// leftOver are words that English sentences are made of, and no German one.
	leftOver = regexp.MustCompile(`(?i)\b(the|and|with|not|of|for)\b`)
	// pointedNumber is a value with a decimal point; points of detectors and days have no unit.
	pointedNumber = regexp.MustCompile(`\d\.\d+ ?(s|V|m?A|[kM]?(Ω|ohm)|m|mm.|h|dB|%|Ah|Wh|min)( |[,;.)]|$)`)
	// quotedInGerman is what somebody typed, a key or a code: it stands as it is.
	quotedInGerman = regexp.MustCompile(`„[^“]*“`)
)

// asTyped are parts of German texts that examples typed in English, and names that have no other.
var asTyped = []string{"zum Beispiel 12.7 V", "agreed with the customer", "Window by the sink", "the lamp"}

// German sentences hold no English word, and no number of ours with a decimal point.
func TestNothingEnglishIsLeftInGerman(t *testing.T) {
	german, has := languages.ByTag("de")
	require.True(t, has)
	look := func(code, text string) {
		t.Helper()
		text = quotedInGerman.ReplaceAllString(text, "„“")
		for _, typed := range asTyped {
			text = strings.ReplaceAll(text, typed, "")
		}
		assert.Empty(t, leftOver.FindAllString(text, -1), "%s: %s", code, text)
		assert.Empty(t, pointedNumber.FindAllString(text, -1), "%s: %s", code, text)
	}
	for _, p := range append(declaredPhrases(t), words.Asked(t)...) {
		look(p.Code(), german.Say(p))
	}
	for _, r := range slices.Concat(rows, reusedRows) {
		for _, verdict := range []checks.Ruling{"", checks.Pass, checks.Undecided, checks.Fail} {
			row := german.Computed(judge.Computed{Row: r, Ruling: verdict})
			for _, text := range []string{row.About, row.Inputs, row.Formula, row.Result, row.Limit, row.Change} {
				look(r.Code(), text)
			}
		}
	}
}
