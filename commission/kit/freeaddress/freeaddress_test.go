package freeaddress_test

import (
	"net"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/freeaddress"
)

// No two are alike, and one can listen at each.
func TestOf(t *testing.T) {
	seen := map[string]bool{}
	for range 200 {
		address := freeaddress.Of(t)
		assert.False(t, seen[address], address)
		seen[address] = true
		l, err := net.Listen("tcp", address)
		require.NoError(t, err)
		t.Cleanup(func() { _ = l.Close() })
	}
}
