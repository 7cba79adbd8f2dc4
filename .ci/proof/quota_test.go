package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestQuota(t *testing.T) {
	q := &quota{left: 10}
	first, over := q.take(8)
	assert.Equal(t, 8, first)
	assert.False(t, over)
	second, over := q.take(8)
	assert.Equal(t, 2, second)
	assert.False(t, over)
	q.done(first, 3)
	third, _ := q.take(8)
	assert.Equal(t, 5, third, "what was not used is there again")
	none, over := q.take(1)
	assert.Equal(t, 0, none)
	assert.False(t, over, "some may come back")
	q.done(second, 2)
	q.done(third, 5)
	_, over = q.take(1)
	assert.True(t, over)
}
