package browser_test

import (
	"os"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone/browser"
)

// trueClock is how far a page's clock is behind ours, by calls that no network delays.
type trueClock struct {
	zero        time.Time
	least, most time.Duration // our clock since zero, less the page's
}

func trueClockOf(p *browser.Phone) trueClock {
	c := trueClock{zero: time.Now(), least: -1 << 62, most: 1 << 62}
	for range 100 {
		before := time.Since(c.zero)
		now := time.Duration(browser.Eval[float64](p, "performance.now()") * float64(time.Millisecond))
		c.least, c.most = max(c.least, before-now), min(c.most, time.Since(c.zero)-now)
	}
	return c
}

// missed is by how much an instant misses the truth, and how well the truth is known.
func (c trueClock) missed(p ask.Pressed) (by, known time.Duration) {
	half := (c.most - c.least) / 2
	truth := time.Duration(p.Tap.DeviceNS) + c.least + half
	return p.At.Sub(c.zero) - truth, half
}

const milli = time.Millisecond

// BenchmarkTaps prints how far the instants of touches are from the truth, over links that
// are slow. Its bounds were stated before: no truth outside of what is said, and on a link that is
// as slow each way a median error of 5 ms at most. By itself it takes few touches, and is out of
// reach for two seconds; 200 touches and the minute are taken with
//
//	LOOPWITNESS_OUT_OF_REACH=60s go test ./commission/ask/phone/browser -run '^$' -bench Taps -benchtime 1x -timeout 30m
func BenchmarkTaps(b *testing.B) {
	taps, away := 12, 2*time.Second
	if text := os.Getenv("LOOPWITNESS_OUT_OF_REACH"); text != "" {
		var err error
		away, err = time.ParseDuration(text)
		require.NoError(b, err)
		taps = 200
	}
	even := browser.Span{Least: 20 * milli, Most: 80 * milli}
	for _, link := range []struct {
		name     string
		up, down browser.Span
		taps     int
		away     time.Duration
		median   time.Duration // at most; 0 for none that was stated
	}{
		{"50 ms ± 30 ms each way", even, even, taps, 0, 5 * milli},
		{"lopsided", browser.Span{Least: 60 * milli, Most: 80 * milli}, browser.Span{Least: 5 * milli, Most: 20 * milli}, taps, 0, 0},
		{"out of reach", even, even, 1, away, 0},
	} {
		b.Run(link.name, func(b *testing.B) {
			var errors, stated []time.Duration
			outside := 0
			for range b.N {
				v := begin(b)
				v.link.Slow(link.up, link.down)
				p := browser.Open(b, v.technician())
				pressed, _, stop := v.waits(ready("3.1"))
				p.Compared()
				truth := trueClockOf(p)
				for n := range link.taps {
					if link.away > 0 {
						v.link.Cut()
						p.Wait(`document.querySelector('.net.off')`)
						time.Sleep(link.away)
					}
					canTap(p)
					p.Tap("#now")
					if link.away > 0 {
						p.WaitText("#strips", "one touch")
						v.link.Mend()
					}
					got := got(b, pressed)
					if got.Tap == nil {
						b.Fatalf("tap %d is not timed: %q", n, got.NotTimed)
					}
					by, known := truth.missed(got)
					errors, stated = append(errors, by.Abs()), append(stated, got.Uncertainty)
					if by.Abs() > got.Uncertainty+known {
						outside++
					}
				}
				stop()
			}
			slices.Sort(errors)
			slices.Sort(stated)
			b.ReportMetric(inMilli(errors[len(errors)/2]), "ms-median-error")
			b.ReportMetric(inMilli(errors[len(errors)-1]), "ms-worst-error")
			b.ReportMetric(inMilli(stated[len(stated)/2]), "ms-stated")
			b.ReportMetric(float64(outside), "outside")
			b.ReportMetric(float64(len(errors)), "taps")
			b.ReportMetric(0, "ns/op") // says nothing here
			require.Zero(b, outside)
			if link.median > 0 {
				require.LessOrEqual(b, errors[len(errors)/2], link.median)
			}
		})
	}
}

func inMilli(d time.Duration) float64 { return float64(d) / float64(milli) }
