package visit

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What the laws of a record say of this program is what it does.
func TestTheLawsKnowHowLongThisProgramWaits(t *testing.T) {
	assert.Equal(t, record.Soonest, soonest)
	assert.Equal(t, record.LongestLoad, max(longestSound, longestLoad))
	for _, cutOff := range []float64{0, 180, 900} {
		o := &site.Output{}
		o.CutOff.SI = cutOff
		assert.Equal(t, record.WaitedFor(time.Duration(cutOff)*time.Second), longestWait(o))
	}
}
