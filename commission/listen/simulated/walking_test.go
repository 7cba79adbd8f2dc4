package simulated

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Somebody who walks through opens each thing once, in order, and the next one when the
// last is at rest, however soon they are asked to.
func TestWalkingThrough(t *testing.T) {
	b := newBuilding(t, Options{Delays: map[string]time.Duration{"z1": 12 * time.Second}})
	require.NoError(t, b.Start(t.Context(), b))
	b.heard = nil
	left := []bool{b.OperateNext(), b.OperateNext(), b.OperateNext()}
	assert.Equal(t, []bool{true, true, false}, left)
	for b.clock.Pass(time.Time{}) {
	}
	assert.Equal(t, []string{"z1 active", "z1 restored", "z2 active", "z2 restored"}, b.heard)
}
