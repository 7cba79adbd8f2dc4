package dryrun

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// No visit that this program runs breaks a law, good or spoilt, finished or broken off.
func TestNoHonestVisitBreaksALaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		good := DrawGood(t)
		spoilt, _ := drawSpoilt(t)
		for _, v := range []Visit{good, spoilt} {
			if a, _ := v.Run(t.Context()); a != nil {
				assert.Empty(t, a.Record().Breaches())
				for _, f := range a.Limitations() {
					assert.NotEqual(t, "contradicted", f.What.Code(), "%v", f)
				}
			}
		}
	})
}
