package visit

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/record"
)

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
