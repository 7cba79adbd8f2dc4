package clock

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

func TestSimulatedTimePassesOnlyWhenAsked(t *testing.T) {
	start := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)
	c := NewSimulated(start)
	var ran []string
	c.AfterFunc(2*time.Second, func() { ran = append(ran, "b") })
	c.AfterFunc(time.Second, func() {
		ran = append(ran, "a")
		c.AfterFunc(time.Second, func() { ran = append(ran, "c") })
	})
	stop := c.AfterFunc(90*time.Minute, func() { ran = append(ran, "never") })
	stop()

	assert.Equal(t, start, c.Now())
	assert.True(t, c.Pass(start.Add(500*time.Millisecond)), "to the limit")
	assert.Equal(t, start.Add(500*time.Millisecond), c.Now())
	assert.Empty(t, ran)
	for c.Pass(time.Time{}) {
	}
	assert.Equal(t, []string{"a", "b", "c"}, ran, "in order of time, then of making")
	assert.Equal(t, start.Add(2*time.Second), c.Now())
	assert.False(t, c.Pass(start), "time does not run backwards")
}
