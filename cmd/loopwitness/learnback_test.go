package main

import (
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/learn"
	"loopwitness/commission/words"
)

// A way back from the first question after the walk leads to the walk.
func TestBackToTheWalk(t *testing.T) {
	answers, err := scripted.Read("answers.yaml", []byte("answers:\n  - {when: new/reference, say: [back, L-1]}\n"))
	require.NoError(t, err)
	l := &learning{operator: scripted.New(answers, clock.Real{}, io.Discard, words.English{})}
	l.ctx = t.Context()
	l.walk.Learner = learn.New(nil, []learn.Said{{What: learn.Detector, Address: "z1", Name: "Left", Kind: "window"}})
	_, walkOn, err := l.complete()
	require.NoError(t, err)
	assert.True(t, walkOn)
	assert.Empty(t, l.draft.given)
}
