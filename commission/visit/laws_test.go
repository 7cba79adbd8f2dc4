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

// breaksNoLaw asserts that a visit in fake time contradicts itself in nothing. Hands that
// answer there take no time, which no hands can, and many tests leave the checklist out.
func breaksNoLaw(t *testing.T, r *record.Record) {
	t.Helper()
	for _, b := range r.Breaches() {
		if b.Law != record.LawReady && b.Law != record.LawTimePasses && b.Law != record.LawChecklist {
			assert.Fail(t, "no visit breaks a law", "%+v", b)
		}
	}
}
