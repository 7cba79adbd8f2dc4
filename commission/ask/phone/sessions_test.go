package phone

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What was taken, or was too late, stays so under its key; what was refused is tried anew.
func TestOutcomesByTheirKeys(t *testing.T) {
	var all outcomes
	did := 0
	for _, tc := range []struct {
		key   string
		r     reply
		again int
	}{{"taken", ok, 1}, {"stale", stale, 1}, {"refused", refused(409, nil), 2},
		{"later", reply{taken: Taken{Later: true}}, 2}} {
		did = 0
		for range 2 {
			got := all.once(tc.key, func() reply { did++; return tc.r })
			assert.Equal(t, tc.r.taken, got.taken, tc.key)
		}
		assert.Equal(t, tc.again, did, tc.key)
	}
}
