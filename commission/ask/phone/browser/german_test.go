package browser_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/words/languages"
)

// inGerman are the screens with the longest words, none of which waits for an English one.
var inGerman = []string{"ready-proved", "count", "roam", "sounding", "board", "more"}

// German has longer words: none stands out of a small screen, and none is cut.
func TestScreensInGerman(t *testing.T) {
	german, has := languages.ByTag("de")
	require.True(t, has)
	for _, name := range inGerman {
		i := slices.IndexFunc(screens, func(s screen) bool { return s.name == name })
		require.GreaterOrEqual(t, i, 0, name)
		s := screens[i]
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			v := beginIn(t, german)
			s.set(v)
			p := browser.New(t)
			p.RecordErrors()
			p.Go(v.technician())
			p.WaitText("#head", "Übergabe")
			assert.Equal(t, "de", browser.Eval[string](p, `document.documentElement.lang`))
			if s.then != nil {
				s.then(v, p)
			}
			time.Sleep(150 * time.Millisecond) // what was touched is drawn
			for _, width := range []int64{browser.Width, browser.Narrow} {
				p.Size(width, 568)
				assert.Empty(t, p.Sideways(), width)
				assert.Empty(t, p.Small(), width)
				assert.Empty(t, p.Cut(), width)
				assert.Empty(t, p.Torn(), width)
			}
			p.Picture(s.name + "-de-320")
			p.Size(browser.Width, browser.Height)
			p.Picture(s.name + "-de")
			assert.Empty(t, p.Errors())
		})
	}
}

// A number of the page's own is written as its language writes it.
func TestNumbersInGerman(t *testing.T) {
	german, _ := languages.ByTag("de")
	p := browser.New(t)
	p.Go(beginIn(t, german).technician())
	p.Wait(`document.documentElement.lang === 'de'`)
	assert.Equal(t, "1,5", browser.Eval[string](p, `import('/state.js').then((m) => m.number(1.46, 1))`))
}
