package scripted

import (
	"bytes"
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/words"
)

func operator(t *testing.T, text string) (*Operator, *clock.Simulated) {
	t.Helper()
	a, err := Read("answers.yaml", []byte(text))
	require.NoError(t, err)
	c := clock.NewSimulated(time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC))
	return New(a, c, &bytes.Buffer{}, words.English{}), c
}

func TestFirstFittingEntryAnswers(t *testing.T) {
	o, _ := operator(t, `
answers:
  - {when: walk/3.2/reason, say: [first, second]}
  - {when: "*/reason", say: other}
  - {when: "supply/*/voltage", say: as shown}
`)
	ask1 := func(id string) string {
		t.Helper()
		got, err := o.Ask(
			context.Background(),
			ask.Question{ID: id, What: ask.NoteMatter, Takes: ask.Line{}, Shown: "13.62 V"},
		)
		require.NoError(t, err)
		return got.Text
	}
	assert.Equal(t, "first", ask1("walk/3.2/reason"))
	assert.Equal(t, "second", ask1("walk/3.2/reason"))
	assert.Equal(t, "second", ask1("walk/3.2/reason"), "the last repeats")
	assert.Equal(t, "other", ask1("walk/3.1/reason"))
	assert.Equal(t, "13.62 V", ask1("supply/mains-back/voltage"))
	_, err := o.Ask(context.Background(), ask.Question{ID: "walk/3.2/note", What: ask.Verbatim("Note"), Takes: ask.Line{}})
	assert.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, "walk/3.2/note (Note)")
}

func TestKeysArePressedByTheClock(t *testing.T) {
	o, c := operator(t, "answers:\n  - {when: a/heard, say: heard, after: 800 ms}\n  - {when: b, say: loud}\n")
	keys := []ask.Key{ask.Heard, ask.Ready}
	w, err := o.Watch(context.Background(), ask.Watch{ID: "a/heard", Keys: keys})
	require.NoError(t, err)
	began := c.Now()
	require.True(t, c.Pass(time.Time{}))
	assert.Equal(t, ask.Heard, (<-w.Pressed()).Key)
	assert.Equal(t, 800*time.Millisecond, c.Now().Sub(began))
	w.Close()

	w, err = o.Watch(context.Background(), ask.Watch{ID: "other", Keys: keys})
	require.NoError(t, err)
	assert.False(t, c.Pass(time.Time{}), "no key is pressed")
	w.Close()

	_, err = o.Watch(context.Background(), ask.Watch{ID: "b", Keys: keys})
	assert.ErrorIs(t, err, ask.ErrUnanswered)
}

func TestErrorsOfAnswerFiles(t *testing.T) {
	_, err := Read("answers.yaml", []byte("answers:\n  - {wen: x, say: y}\n  - {when: z, say: y, after: 3 mm}\n"))
	require.ErrorIs(t, err, strictyaml.ErrRefused)
	assert.ErrorContains(t, err, `answers.yaml:2:6: unknown key "wen"`)
	assert.ErrorContains(t, err, "answers.yaml:3:30:")
}

// Answers that go round in a circle end, and are named.
func TestCirclesEnd(t *testing.T) {
	o, _ := operator(t, "answers:\n  - {when: a, say: again}\n")
	var err error
	for range 100 {
		if _, err = o.Ask(context.Background(), ask.Question{ID: "a", What: ask.NoteMatter, Takes: ask.Line{}}); err != nil {
			break
		}
	}
	require.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, "a was asked more than 50 times")
}

func FuzzRead(f *testing.F) {
	f.Add("answers:\n  - {when: a/*, say: [b, c], after: 3 s}\n")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := Read("answers.yaml", []byte(text))
		if err == nil && len(a.entries) == 0 {
			t.Fatal("accepted without answers")
		}
	})
}

func FuzzFits(f *testing.F) {
	f.Add("walk/*/reason", "walk/1.1/reason")
	f.Fuzz(func(t *testing.T, pattern, name string) {
		if len(pattern) > 30 || len(name) > 30 {
			return
		}
		if !fits("*", name) || !fits(name, name) && !bytes.ContainsRune([]byte(name), '*') {
			t.Fatal(name)
		}
		fits(pattern, name)
	})
}

// What nobody has to answer is left empty where the file says nothing.
func TestOptionalQuestionsNeedNoAnswer(t *testing.T) {
	o, _ := operator(t, "answers:\n  - {when: a, say: b}\n")
	got, err := o.Ask(context.Background(), ask.Question{ID: "x", What: ask.NoteMatter, Takes: ask.Line{}, Optional: true})
	require.NoError(t, err)
	assert.Empty(t, got)
	_, err = o.Ask(context.Background(), ask.Question{ID: "x", What: ask.NoteMatter, Takes: ask.Line{}})
	assert.ErrorIs(t, err, ask.ErrUnanswered)
}
