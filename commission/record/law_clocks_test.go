package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The two clocks of a run go together, within what NTP slews and what entries tell.
func TestClocksAgree(t *testing.T) {
	const noise = 150 * time.Millisecond
	hour := int64(time.Hour)
	for name, tc := range map[string]struct {
		wall, elapsed time.Duration
		fact          Fact
		breaks        bool
	}{
		"together":               {time.Minute, time.Minute, noted(), false},
		"as NTP slews it":        {noise, 0, noted(), false},
		"more":                   {noise + 1, 0, noted(), true},
		"slewed back":            {-noise, 0, noted(), false},
		"more, back":             {-noise - 1, 0, noted(), true},
		"slewed over an hour":    {time.Hour + noise + 3600*time.Millisecond, time.Hour, noted(), false},
		"more over an hour":      {time.Hour + noise + 3601*time.Millisecond, time.Hour, noted(), true},
		"set":                    {time.Hour, 0, noted(), true},
		"set, and told":          {time.Hour, 0, ClockStepped{ByNS: hour}, false},
		"set more than is told":  {time.Hour + noise + 1, 0, ClockStepped{ByNS: hour}, true},
		"told, and not set":      {0, 0, ClockStepped{ByNS: hour}, true},
		"slept":                  {time.Hour + 1, 1, Absent{LastedNS: 1, SleptNS: hour}, false},
		"absent, but not asleep": {time.Hour, 0, Absent{LastedNS: 1}, true},
		"stamped by two hands":   {-time.Second, -time.Second, noted(), false},
	} {
		r := recordOf(t, time.Hour, noted())
		e := entryOf(t, r.Entries()+1, 1, at(time.Hour+tc.wall), time.Hour+tc.elapsed, tc.fact)
		require.NoError(t, r.Take(e), name)
		assert.Equal(t, tc.breaks, len(brokenBy(r, LawClocksAgree)) > 0, name)
	}
	r := recordOf(t, time.Hour, noted())
	require.NoError(t, take(t, r, 2, 9*time.Hour, Resumed{}))
	assert.Empty(t, brokenBy(r, LawClocksAgree), "another run has a clock of its own")
}

// What is too little to be told adds up over a run: so much and no more.
func TestClocksDoNotDriftApart(t *testing.T) {
	told := func(r *Record, run, n int, wall, elapsed time.Duration, each time.Duration, by func() Fact) {
		for i := range n {
			w, e := wall+time.Duration(i+1)*each, elapsed
			require.NoError(t, r.Take(entryOf(t, r.Entries()+1, run, at(w), e, by())))
		}
	}
	note := func() Fact { return noted() }
	for each, most := range map[time.Duration]int{100 * time.Millisecond: 20, -100 * time.Millisecond: 20} {
		r := recordOf(t)
		told(r, 1, most, 0, 0, each, note)
		assert.Empty(t, brokenBy(r, LawClocksAgree), each)
		require.NoError(t, take(t, r, 1, 0, ClockStepped{ByNS: -int64(most) * int64(each)}))
		assert.Empty(t, brokenBy(r, LawClocksAgree), "told")
		r = recordOf(t)
		told(r, 1, most+1, 0, 0, each, note)
		assert.Equal(t, []int{r.Entries()}, brokenBy(r, LawClocksAgree), each)
		told(r, 1, most, time.Duration(most+1)*each, 0, each, note)
		assert.Len(t, brokenBy(r, LawClocksAgree), 1, "once for all of it")
		told(r, 1, 1, time.Duration(2*most+1)*each, 0, each, note)
		assert.Len(t, brokenBy(r, LawClocksAgree), 2, "and again")
	}
	slewed := func(each time.Duration) *Record {
		r := recordOf(t)
		for i := range 600 {
			since := time.Duration(i+1) * time.Minute
			require.NoError(t, r.Take(entryOf(t, r.Entries()+1, 1, at(since+time.Duration(i+1)*each), since, noted())))
		}
		return r
	}
	assert.Empty(t, brokenBy(slewed(60*time.Millisecond), LawClocksAgree), "as fast as a clock is slewed, for ten hours")
	assert.NotEmpty(t, brokenBy(slewed(64*time.Millisecond), LawClocksAgree))
	r := recordOf(t)
	told(r, 1, 20, 0, 0, 100*time.Millisecond, note)
	require.NoError(t, r.Take(entryOf(t, r.Entries()+1, 2, at(time.Hour), 0, Resumed{})))
	told(r, 2, 20, time.Hour, 0, 100*time.Millisecond, note)
	assert.Empty(t, brokenBy(r, LawClocksAgree), "another run")
	slept := func() Fact { return Absent{SleptNS: int64(100 * time.Millisecond)} }
	r = recordOf(t)
	told(r, 1, 60, 0, 0, 100*time.Millisecond, slept)
	assert.Empty(t, brokenBy(r, LawClocksAgree), "slept, and told")
}
