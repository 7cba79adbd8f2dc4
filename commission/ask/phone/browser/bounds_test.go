package browser_test

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone/browser"
)

// marks keeps when each touch of NOW began, by the clock of the page.
const marks = `window.touched = []; addEventListener('pointerdown', (e) => {
	if (e.target.closest?.('#now')) touched.push(e.timeStamp); }, true);`

// truth is how far the program's clock is ahead of the page's: the one exchange of many,
// around the network, that took the shortest. Both clocks are this computer's.
func truth(t *testing.T, p *browser.Phone, zero time.Time) (least, most time.Duration) {
	t.Helper()
	least, most = -1<<62, 1<<62
	for range 60 {
		before := time.Since(zero)
		at := time.Duration(browser.Eval[float64](p, `performance.now()`) * float64(time.Millisecond))
		after := time.Since(zero)
		least, most = max(least, before-at), min(most, after-at)
	}
	require.LessOrEqual(t, least, most+time.Millisecond)
	return least, most
}

// The truth lies within the bounds that a touch states, also over a slow and a lopsided
// network.
func TestBounds(t *testing.T) {
	t.Parallel()
	ms := func(least, most int) browser.Span {
		return browser.Span{Least: time.Duration(least) * time.Millisecond, Most: time.Duration(most) * time.Millisecond}
	}
	for _, tc := range []struct {
		name     string
		up, down browser.Span
		widest   time.Duration
	}{
		{"direct", ms(0, 0), ms(0, 0), 100 * time.Millisecond},
		{"50 ± 30 ms", ms(20, 80), ms(20, 80), 200 * time.Millisecond},
		{"lopsided", ms(60, 80), ms(5, 20), 200 * time.Millisecond},
	} {
		t.Run(tc.name, func(t *testing.T) {
			t.Parallel()
			v := begin(t)
			v.link.Slow(tc.up, tc.down)
			p := browser.New(t)
			p.Before(marks)
			p.Go(v.technician())
			v.waits(ready("3.1"))
			zero := time.Now()
			least, most := truth(t, p, zero)
			var errors []time.Duration
			for range 5 {
				pressed, _, stop := v.waits(ready("3.1"))
				canTap(p)
				p.Wait(`!document.querySelector('.sent')`)
				n := len(browser.Eval[[]float64](p, `touched`))
				p.Tap("#now")
				k := got(t, pressed)
				stop()
				all := browser.Eval[[]float64](p, `touched`)
				require.Len(t, all, n+1)
				require.Equal(t, ask.Ready, k.Key)
				require.NotNil(t, k.Tap, "%s", k.NotTimed)
				touch := time.Duration(all[n] * float64(time.Millisecond))
				at := k.At.Sub(zero)
				assert.GreaterOrEqual(t, at+k.Uncertainty, touch+least)
				assert.LessOrEqual(t, at-k.Uncertainty, touch+most)
				assert.LessOrEqual(t, k.Uncertainty, tc.widest)
				errors = append(errors, (at - touch - (least+most)/2).Abs())
			}
			slices.Sort(errors)
			t.Logf("errors of the middle: %s", errors)
		})
	}
}
