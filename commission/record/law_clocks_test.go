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
