package phone

import (
	"math"
	"math/rand/v2"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

const ms = time.Millisecond

// The instant of a tap is the middle of its bounds and uncertain by half of them; what is
// known too badly, or not at all, times nothing; what contradicts the clock is refused.
func TestInstantsOfTaps(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		run := s.run
		time.Sleep(10 * time.Minute)
		arrived := time.Now() // 600 s after zero
		tap := func(device, least, most time.Duration) Tap {
			return Tap{DeviceNS: int64(device), LeastNS: int64(least), MostNS: int64(most), By: "touch", Run: run}
		}
		for name, tc := range map[string]struct {
			tap         Tap
			at          time.Duration // since zero
			uncertainty time.Duration
			why         record.Untimed
			refused     ask.Phrase
		}{
			"exactly known":  {tap: tap(time.Second, 590*time.Second, 590*time.Second), at: 591 * time.Second},
			"to 20 ms":       {tap: tap(time.Second, 590*time.Second-20*ms, 590*time.Second+20*ms), at: 591 * time.Second, uncertainty: 20 * ms},
			"a device ahead": {tap: tap(2000*time.Second, -1410*time.Second, -1410*time.Second+10*ms), at: 590*time.Second + 5*ms, uncertainty: 5 * ms},
			"odd bounds": {tap: Tap{DeviceNS: 0, LeastNS: int64(time.Second), MostNS: int64(time.Second) + 1, By: "count", Run: run},
				at: time.Second, uncertainty: 1},
			"as wide as can be": {tap: tap(0, 590*time.Second-record.WidestTap, 590*time.Second+record.WidestTap), at: 590 * time.Second,
				uncertainty: record.WidestTap},
			"too wide":             {tap: tap(0, 590*time.Second-record.WidestTap, 590*time.Second+record.WidestTap+1), why: record.ClockWide},
			"as late as can be":    {tap: tap(0, 600*time.Second, 600*time.Second+40*ms), at: 600*time.Second + 20*ms, uncertainty: 20 * ms},
			"later than it came":   {tap: tap(0, 600*time.Second+1, 600*time.Second+40*ms), refused: ask.TapAhead},
			"before this run":      {tap: tap(0, -1100*ms, -time.Second), why: record.ClockUnknown},
			"after sleep":          {tap: Tap{DeviceNS: 1, By: "touch", Unknown: true, Run: run}, why: record.ClockUnknown},
			"by another run":       {tap: Tap{DeviceNS: 1, By: "touch", Run: "another"}, why: record.ClockUnknown},
			"never compared":       {tap: Tap{DeviceNS: 1, By: "touch"}, why: record.ClockUnknown},
			"bounds the wrong way": {tap: tap(0, time.Second, 0), refused: ask.NotUnderstood},
			"by nobody":            {tap: Tap{By: "wind", Run: run}, refused: ask.NotUnderstood},
			"no instant at all":    {tap: Tap{DeviceNS: math.MinInt64, By: "touch", Run: run}, refused: ask.NotUnderstood},
			"overflowing":          {tap: Tap{DeviceNS: math.MaxInt64, MostNS: math.MaxInt64, By: "touch", Run: run}, refused: ask.NotUnderstood},
			"overflowing bounds":   {tap: Tap{LeastNS: math.MinInt64, MostNS: math.MaxInt64, By: "touch", Run: run}, refused: ask.NotUnderstood},
		} {
			var p ask.Pressed
			refused := s.timed(&p, &tc.tap, arrived)
			assert.Equal(t, tc.refused, refused, name)
			if tc.refused != nil || tc.why != "" {
				assert.Equal(t, ask.Pressed{NotTimed: tc.why}, p, name)
				continue
			}
			assert.Equal(t, tc.at, p.At.Sub(s.zero), name)
			assert.Equal(t, tc.uncertainty, p.Uncertainty, name)
			require.NotNil(t, p.Tap, name)
			require.NoError(t, p.Tap.Check(), name)
			elapsed, uncertainty := p.Tap.At()
			assert.True(t, p.TapZero.Add(elapsed).Equal(p.At) && uncertainty == p.Uncertainty, name)
		}
	})
}

// However the network delays a request and its answer, the truth is never outside of what
// is stated: the exchange bounds the offset by [T3 − T4, T2 − T1] (RFC 5905, section 8, from
// memory), and the bounds of several hold together. The page does this sum; it is done
// here once more to hold what the server answers with against it.
func TestTheTruthIsWithinTheBounds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		r := rand.New(rand.NewPCG(1, 2))
		deviceZero := time.Now().Add(-time.Hour) // when its page was opened
		device := func() time.Duration { return time.Since(deviceZero) }
		delay := func(least, most int) { time.Sleep(time.Duration(least+r.IntN(most-least)) * ms) }
		for _, link := range []struct{ upLeast, upMost, downLeast, downMost int }{{0, 1, 0, 1}, {20, 80, 20, 80}, {60, 80, 5, 20}, {200, 900, 1, 2}} {
			for range 50 {
				least, most := time.Duration(math.MinInt64), time.Duration(math.MaxInt64)
				for range 5 {
					asked := device()
					delay(link.upLeast, link.upMost)
					instants := c.clock(t, asked)
					delay(link.downLeast, link.downMost)
					back := device()
					least = max(least, time.Duration(instants.SentNS)-back)
					most = min(most, time.Duration(instants.CameNS)-asked)
				}
				touched, truth := device(), time.Now()
				tap := Tap{DeviceNS: int64(touched), LeastNS: int64(least), MostNS: int64(most), By: "touch", Run: s.run}
				delay(link.upLeast, link.upMost)
				var p ask.Pressed
				require.Nil(t, s.timed(&p, &tap, time.Now()))
				if p.NotTimed != "" {
					assert.Greater(t, most-least, 2*record.WidestTap)
					continue
				}
				assert.LessOrEqual(t, p.At.Sub(truth).Abs(), p.Uncertainty)
			}
		}
	})
}
