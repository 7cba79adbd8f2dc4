package scripted

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/words"
)

// Where time stands still and nothing is left to come, the technician goes, and the wait
// is named; in real time something may come yet.
func TestAWaitThatNothingEnds(t *testing.T) {
	spec := ask.Watch{ID: "walk/1.1/ready", Keys: []ask.Key{ask.Ready}}
	a, err := Read("answers.yaml", []byte("answers:\n  - {when: other, say: x}\n"))
	require.NoError(t, err)
	var told bytes.Buffer
	o := New(a, clock.NewSimulated(time.Time{}), &told, words.English{})
	w, err := o.Watch(t.Context(), spec)
	require.NoError(t, err)
	assert.NoError(t, o.Stuck())
	w.Status(nil)
	w.Status(nil)
	assert.Equal(t, ask.Gone, (<-w.Pressed()).Key)
	assert.Empty(t, w.Pressed(), "once")
	assert.ErrorIs(t, o.Stuck(), ask.ErrUnanswered)
	assert.ErrorContains(t, o.Stuck(), "walk/1.1/ready")
	assert.Contains(t, told.String(), "no answer is given for a question: walk/1.1/ready")
	w.Close()

	real := New(a, clock.Real{}, &told, words.English{})
	w, err = real.Watch(t.Context(), spec)
	require.NoError(t, err)
	w.Status(nil)
	assert.Empty(t, w.Pressed())
	assert.NoError(t, real.Stuck())
	w.Close()
}
