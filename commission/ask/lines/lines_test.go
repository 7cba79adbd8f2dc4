package lines

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
)

var choice = ask.Question{ID: "q", Text: "Which?\x1b[2J", Shape: ask.Choice, Options: []ask.Option{{Word: "leave", Label: "not now"}, {Word: "done", Label: "done"}}}

func TestQuestionsTakeOnlyWhatAnswersThem(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("Done\nperhaps\ndone\ny\nno\n"), &out, nil)
	got, err := o.Ask(context.Background(), choice)
	require.NoError(t, err)
	assert.Equal(t, "done", got)
	assert.Equal(t, 2, strings.Count(out.String(), "answer with one of: leave, done"))
	assert.NotContains(t, out.String(), "\x1b", "nothing from outside reaches the screen raw")

	got, err = o.Ask(context.Background(), ask.Question{Shape: ask.YesNo, Danger: true})
	require.NoError(t, err)
	assert.Equal(t, "no", got, "y is no whole word where there is danger")
}

func TestTheEndOfInputIsAPause(t *testing.T) {
	o := New(strings.NewReader(""), io.Discard, nil)
	_, err := o.Ask(context.Background(), choice)
	assert.ErrorIs(t, err, ask.ErrPaused)

	w, err := o.Watch(context.Background(), ask.Watch{Keys: []ask.Key{{Word: "ready"}}})
	require.NoError(t, err)
	_, open := <-w.Keys()
	assert.False(t, open, "keys that can no longer come are closed, not pressed")
	w.Close()
}

func TestAnEndedContextEndsAQuestion(t *testing.T) {
	r, _ := io.Pipe()
	o := New(r, io.Discard, nil)
	ctx, cancel := context.WithTimeout(context.Background(), time.Millisecond)
	defer cancel()
	_, err := o.Ask(ctx, choice)
	assert.True(t, errors.Is(err, context.DeadlineExceeded))
}

func TestWordsPressKeys(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("redy\nready\n"), &out, nil)
	w, err := o.Watch(context.Background(), ask.Watch{Title: "Go", Keys: []ask.Key{{Rune: ' ', Word: "ready"}, {Rune: 's', Word: "skip"}}})
	require.NoError(t, err)
	assert.Equal(t, "ready", <-w.Keys())
	w.Close()
	assert.Contains(t, out.String(), `"redy" is none of: ready, skip`)
}
