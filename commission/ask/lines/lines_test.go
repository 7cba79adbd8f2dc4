package lines

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
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

// A y is a yes, in capitals too; a bare number has its unit; the last answer is taken
// again by the word for it, which a list offers.
func TestShortAnswers(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("y\nN\n13.7\nredo\nredo\n"), &out, nil, words.English{})
	volts := ask.Quantity{In: checks.Voltage, Unit: "V"}
	again := choice
	again.Redo = ask.LevelMatter
	for _, tc := range []struct {
		q    ask.Question
		want ask.Answer
	}{
		{ask.Question{What: ask.StageMatter, Takes: ask.YesNo{}}, ask.Answer{Text: ask.Yes}},
		{ask.Question{What: ask.StageMatter, Takes: ask.YesNo{}}, ask.Answer{Text: ask.No}},
		{ask.Question{What: ask.LoopMatter, Takes: volts}, ask.Answer{Text: "13.7 V", Completed: true}},
		{ask.Question{What: ask.LoopMatter, Takes: volts, Redo: ask.LevelMatter}, ask.Answer{Redo: true}},
		{again, ask.Answer{Redo: true}},
	} {
		got, err := o.Ask(t.Context(), tc.q)
		require.NoError(t, err)
		assert.Equal(t, tc.want, got)
	}
	assert.Contains(t, out.String(), "   redo: take the last one again: ")
	assert.Contains(t, out.String(), "type redo to take again: ")
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

// What stands on the screen of a question: what it is about, what it asks, how it is
// answered, and the words for it.
func TestWhatIsPrinted(t *testing.T) {
	var out bytes.Buffer
	o := New(strings.NewReader("\nhigh\ndone"), &out, nil, words.English{})
	got, err := o.Ask(t.Context(), ask.Question{ID: "q", What: ask.Verbatim("Note"), Help: ask.Verbatim("Why"),
		About: []ask.Phrase{ask.Verbatim("one"), ask.Verbatim("two")}, Takes: ask.Line{}})
	require.NoError(t, err)
	assert.Equal(t, ask.Answer{Text: "high", Shown: []string{"one", "two"}}, got)
	assert.Equal(t, "   one\n   two\nNote\n   Why\n   an answer is needed here\n", out.String())

	out.Reset()
	got, err = o.Ask(t.Context(), choice)
	require.NoError(t, err)
	assert.Equal(t, "done", got.Text, "the last line needs no end")
	said := words.English{}
	assert.Contains(t, out.String(), "   leave: "+said.Say(ask.LeaveChoice)+"\n   done: "+said.Say(ask.DoneChoice)+"\n")

	out.Reset()
	o.Tell(ask.TooSoon{}, ask.SameMoment{})
	assert.Equal(t, 2, strings.Count(out.String(), "\n"))
	assert.Contains(t, out.String(), said.Say(ask.TooSoon{}))

	out.Reset()
	w, err := o.Watch(t.Context(), ask.Watch{Title: ask.Verbatim("Go"), Lines: []ask.Phrase{ask.Verbatim("there")},
		Keys: []ask.Key{ask.Ready, ask.Skip}})
	require.NoError(t, err)
	w.Say(ask.TooSoon{})
	w.Close()
	assert.True(t, strings.HasPrefix(out.String(), "Go\n   there\n"), out.String())
	assert.Contains(t, out.String(), " ready, skip\n")
	assert.Contains(t, out.String(), said.Say(ask.TooSoon{}))
}

// What was typed before a question is no answer to it, and what was typed while nobody
// looked at a wait any more is none of its keys.
func TestWhatWasTypedAheadIsNoAnswer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, typed := io.Pipe()
		defer typed.Close()
		flushed := 0
		o := New(r, io.Discard, func() { flushed++ }, words.English{})
		write := func(after time.Duration, text string) {
			go func() {
				time.Sleep(after)
				_, err := io.WriteString(typed, text)
				assert.NoError(t, err)
			}()
		}
		write(time.Second, "leave\n")
		got, err := o.Ask(t.Context(), choice)
		require.NoError(t, err)
		assert.Equal(t, "leave", got.Text)
		assert.Equal(t, 1, flushed)

		write(0, "leave\n")
		synctest.Wait()
		write(time.Second, "done\n")
		got, err = o.Ask(t.Context(), choice)
		require.NoError(t, err)
		assert.Equal(t, "done", got.Text)
		assert.Equal(t, 2, flushed)

		w, err := o.Watch(t.Context(), ask.Watch{Title: ask.Verbatim("Go"), Keys: []ask.Key{ask.Ready}})
		require.NoError(t, err)
		write(time.Second, "ready\n")
		time.Sleep(2 * time.Second)
		w.Close() // nobody has taken the key
		w.Close() // again does no harm
		w, err = o.Watch(t.Context(), ask.Watch{Title: ask.Verbatim("Go"), Keys: []ask.Key{ask.Ready}})
		require.NoError(t, err)
		w.Close()
		write(time.Second, "done\n")
		got, err = o.Ask(t.Context(), choice)
		require.NoError(t, err)
		assert.Equal(t, "done", got.Text, "a wait that is over takes no line away")
	})
}
