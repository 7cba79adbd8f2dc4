package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
)

// A report of a controller that is asked came at most so much earlier than it was seen, and never later:
// what was seen within the limit was within it, and what may have been is no failure.
func TestALimitWhereTheControllerIsAsked(t *testing.T) {
	const ms = time.Millisecond
	for name, tc := range map[string]struct {
		took, asked, uncertainty time.Duration
		ruling                   checks.Ruling
	}{
		"told, within":           {1940 * ms, 0, 50 * ms, checks.Pass},
		"told, near":             {1960 * ms, 0, 50 * ms, checks.Undecided},
		"told, later":            {2060 * ms, 0, 50 * ms, checks.Fail},
		"asked, within":          {1940 * ms, 2000 * ms, 2050 * ms, checks.Pass},
		"asked, near":            {1960 * ms, 2000 * ms, 2050 * ms, checks.Undecided},
		"asked, perhaps in time": {4040 * ms, 2000 * ms, 2050 * ms, checks.Undecided},
		"asked, surely too late": {4060 * ms, 2000 * ms, 2050 * ms, checks.Fail},
		"asked, at once":         {100 * ms, 2000 * ms, 2050 * ms, checks.Pass},
	} {
		d, err := Rules{Asked: tc.asked, Uncertainty: tc.uncertainty}.Decide(tc.took, 2*time.Second)
		require.NoError(t, err, name)
		assert.Equal(t, tc.ruling, d.Ruling, name)
	}
}
