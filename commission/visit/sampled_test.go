package visit

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// At most one sample in five seconds is written, two in a second where it changes by
// 50 mV or more.
func TestFewSamplesAreWritten(t *testing.T) {
	var s sampling
	for _, tc := range []struct {
		at   time.Duration
		volt float64
		is   bool
	}{
		{0, 12.6, true}, {time.Second, 12.6, false}, {4999 * time.Millisecond, 12.64, false},
		{5 * time.Second, 12.61, true}, {5499 * time.Millisecond, 11, false}, {5500 * time.Millisecond, 12.55, true},
		{7 * time.Second, 12.598, false}, {8 * time.Second, 12.625, true}, {12 * time.Second, 12.6, false},
	} {
		assert.Equal(t, tc.is, s.worth(signal.Sample{At: morning.Add(tc.at), Volt: tc.volt}), "%v", tc)
	}
}
