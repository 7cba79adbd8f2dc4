package certificate

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

var (
	// pointed is a value with a decimal point, behind nothing that makes it a number of ours or a version.
	pointed = regexp.MustCompile(
		`(?:^|[\s(±−])\d+\.\d+ ?(?:V|A|mA|Ah|Wh|Ω|ohm|Mohm|s|ms|min|h|m|mm|mm²|dB|%|kHz)(?:[\s;,)]|$)`,
	)
	metric = regexp.MustCompile(`\d ?(?:m|cm|mm²)(?:[\s;,]|$)`)
)

// What stands on German pages has decimal commas, also where a person typed it with a point; in
// US units no length is in metres, and a cross-section stands behind its gauge.
func TestNumbersOnGermanPages(t *testing.T) {
	german, _ := languages.ByTag("de")
	english, _ := languages.ByTag("en")
	of := func(l words.Language) (all []string) {
		for _, a := range visits(t) {
			d := Write(a, Options{Language: l, Revision: 1, Tool: "loopwitness test",
				Journal: strings.Repeat("0", 64)})
			for _, s := range d.Stated() {
				all = append(all, s.Text)
			}
		}
		require.Greater(t, len(all), 1000)
		return all
	}
	assert.True(t, slices.ContainsFunc(of(english), pointed.MatchString), "what is looked for can be found")
	assert.True(t, slices.ContainsFunc(of(german), metric.MatchString), "what is looked for can be found")
	commas := 0
	for _, text := range of(german) {
		assert.Empty(t, pointed.FindString(text), text)
		commas += strings.Count(text, ",")
	}
	assert.Greater(t, commas, 1000)
	feet := 0
	for _, text := range of(german.In(site.US)) {
		feet += strings.Count(text, " ft")
		if m := metric.FindString(text); m != "" && !strings.Contains(text, "AWG (") {
			t.Errorf("%q in %s", m, text)
		}
	}
	assert.Greater(t, feet, 10)
}
