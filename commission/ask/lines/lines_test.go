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
	"loopwitness/commission/words"
)

var choice = ask.Question{ID: "q", What: ask.Verbatim("Which?\x1b[2J"), Takes: ask.OneOf{Options: []ask.Option{
	{Word: "leave", Label: ask.LeaveChoice}, {Word: "done", Label: ask.DoneChoice}}}}

func TestQuestionsTakeOnlyWhatAnswersThem(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("Done\nperhaps\ndone\ny\nno\n"), &out, nil, words.English{})
	got, err := o.Ask(context.Background(), choice)
	require.NoError(t, err)
	assert.Equal(t, "done", got.Text)
	assert.Equal(t, 2, strings.Count(out.String(), "answer with one of: leave, done"))
	assert.NotContains(t, out.String(), "\x1b", "nothing from outside reaches the screen raw")

	got, err = o.Ask(context.Background(), ask.Question{What: ask.StageMatter, Takes: ask.YesNo{Danger: true}})
	require.NoError(t, err)
	assert.Equal(t, "no", got.Text, "y is no whole word where there is danger")
}

func TestTheEndOfInputIsAPause(t *testing.T) {
	o := New(strings.NewReader(""), io.Discard, nil, words.English{})
	_, err := o.Ask(context.Background(), choice)
	assert.ErrorIs(t, err, ask.ErrPaused)

	w, err := o.Watch(context.Background(), ask.Watch{Title: ask.FirstReportMatter, Keys: []ask.Key{ask.Ready}})
	require.NoError(t, err)
	_, open := <-w.Pressed()
	assert.False(t, open, "keys that can no longer come are closed, not pressed")
	w.Close()
}

func TestAnEndedContextEndsAQuestion(t *testing.T) {
	r, _ := io.Pipe()
	o := New(r, io.Discard, nil, words.English{})
	ctx, cancel := context.WithTimeout(context.Background(), time.Millisecond)
	defer cancel()
	_, err := o.Ask(ctx, choice)
	assert.True(t, errors.Is(err, context.DeadlineExceeded))
}

func TestWordsPressKeys(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("redy\nready\n"), &out, nil, words.English{})
	w, err := o.Watch(context.Background(), ask.Watch{Title: ask.Verbatim("Go"), Keys: []ask.Key{ask.Ready, ask.Skip}})
	require.NoError(t, err)
	assert.Equal(t, ask.Pressed{Key: ask.Ready}, <-w.Pressed())
	w.Close()
	assert.Contains(t, out.String(), `"redy" is none of: ready, skip`)
}
