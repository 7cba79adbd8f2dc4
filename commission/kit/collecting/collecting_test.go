package collecting_test

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/kit/collecting"
)

func settings() [2]int64 {
	percent := debug.SetGCPercent(100)
	debug.SetGCPercent(percent)
	return [2]int64{int64(percent), debug.SetMemoryLimit(-1)}
}

func TestWhatWasIsRestored(t *testing.T) {
	t.Setenv("GOGC", "")
	t.Setenv("GOMEMLIMIT", "")
	before := settings()
	for percent, seldom := range map[int64]func() func(){800: collecting.WhileListening, 300: collecting.WhileWriting} {
		restore := seldom()
		assert.Equal(t, [2]int64{percent, 512 << 20}, settings())
		restore()
		assert.Equal(t, before, settings())
	}
	t.Setenv("GOGC", "50")
	restore := collecting.WhileListening()
	assert.Equal(t, before, settings(), "as somebody wants it")
	restore()
	assert.Equal(t, before, settings())
}
