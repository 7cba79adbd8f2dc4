package scripted

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
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
	_, err := o.Ask(context.Background(), ask.Question{ID: "walk/3.2/note", What: ask.Verbatim("Note"),
		Takes: ask.Line{}})
	assert.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, "walk/3.2/note (Note)")
}

// A list that no answer is for is taken one by one: files that answer each item go on as
// they did. One that is answered is taken as it says.
func TestListsAreTakenOneByOne(t *testing.T) {
	list := ask.Question{ID: "list/inspection", What: ask.StageMatter,
		Takes: ask.Items{Of: []ask.Item{{Word: "1"}, {Word: "2"}}}}
	for say, want := range map[string]string{"{when: inspection/*, say: done}": "each",
		"{when: list/*, say: rest}": "rest", "{when: list/inspection, say: '2,1'}": "2 1"} {
		o, _ := operator(t, "answers:\n  - "+say+"\n")
		got, err := o.Ask(t.Context(), list)
		require.NoError(t, err)
		assert.Equal(t, want, got.Text)
	}
	o, _ := operator(t, "answers:\n  - {when: list/*, say: done}\n")
	_, err := o.Ask(t.Context(), list)
	assert.ErrorIs(t, err, ask.ErrUnanswered)
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

// A script may answer as a person does: y, a bare number, and the word that takes the last
// answer again.
func TestShortAnswers(t *testing.T) {
	o, _ := operator(t, "answers:\n  - {when: a, say: [\"y\", \"N\", redo]}\n  - {when: v, say: 13.7}\n")
	for _, want := range []ask.Answer{{Text: ask.Yes}, {Text: ask.No}, {Redo: true}} {
		got, err := o.Ask(t.Context(), ask.Question{ID: "a", What: ask.NoteMatter, Takes: ask.YesNo{},
			Redo: ask.LevelMatter})
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	got, err := o.Ask(t.Context(), ask.Question{ID: "v", What: ask.NoteMatter,
		Takes: ask.Quantity{In: checks.Voltage, Unit: "V"}})
	require.NoError(t, err)
	assert.Equal(t, ask.Answer{Text: "13.7 V", Completed: true}, got)
}

// Answers that go round in a circle end, and are named.
func TestCirclesEnd(t *testing.T) {
	o, _ := operator(t, "answers:\n  - {when: a, say: again}\n")
	var err error
	asked := 0
	for err == nil && asked < 100 {
		_, err = o.Ask(context.Background(), ask.Question{ID: "a", What: ask.NoteMatter, Takes: ask.Line{}})
		asked++
	}
	assert.Equal(t, 51, asked, "fifty times, and not once more")
	require.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, "a was asked more than 50 times")
	_, err = o.Watch(context.Background(), ask.Watch{ID: "a", Keys: []ask.Key{ask.Again}})
	assert.ErrorIs(t, err, ask.ErrUnanswered, "a wait is counted with it")
}

// What cannot be a file of answers says why.
func TestFilesWithoutAnswers(t *testing.T) {
	for text, says := range map[string]string{
		"answers: []\n": "the file has no answers", "answers\n": "answers.yaml:1:1", "answers: [{say: x}]\n": "when",
		"{": "answers.yaml:1", "ansers: []\n": "unknown key",
	} {
		_, err := Read("answers.yaml", []byte(text))
		require.ErrorIs(t, err, strictyaml.ErrRefused, text)
		assert.ErrorContains(t, err, says, text)
	}
}

// All that is told and asked is printed, and what it was about is handed over as shown.
func TestWhatIsPrinted(t *testing.T) {
	a, err := Read("answers.yaml", []byte("answers:\n  - {when: q, say: high}\n  - {when: v, say: as shown}\n"+
		"  - {when: w}\n"))
	require.NoError(t, err)
	var out bytes.Buffer
	o := New(a, clock.NewSimulated(time.Time{}), &out, words.English{})
	o.Tell(ask.TooSoon{}, ask.SameMoment{})
	got, err := o.Ask(t.Context(), ask.Question{ID: "q", What: ask.Verbatim("Note\x1b"), Takes: ask.Line{},
		About: []ask.Phrase{ask.Verbatim("one"), ask.Verbatim("two")}})
	require.NoError(t, err)
	assert.Equal(t, ask.Answer{Text: "high", Shown: []string{"one", "two"}}, got)
	said := words.English{}
	want := "   " + said.Say(ask.TooSoon{}) + "\n   " + said.Say(ask.SameMoment{}) + "\n   one\n   two\n   Note"
	assert.True(t, strings.HasPrefix(out.String(), want), out.String())
	assert.Contains(t, out.String(), ": high\n")
	assert.NotContains(t, out.String(), "\x1b")

	out.Reset()
	w, err := o.Watch(t.Context(), ask.Watch{ID: "w", Keys: []ask.Key{ask.Ready}, Unattended: ask.Ready})
	require.NoError(t, err)
	w.Say(ask.TooSoon{})
	w.Close()
	assert.Contains(t, out.String(), said.Say(ask.TooSoon{}))
	assert.Empty(t, w.Pressed(), "an entry that says nothing presses none")

	got, err = o.Ask(t.Context(), ask.Question{ID: "v", What: ask.NoteMatter, Takes: ask.Line{}})
	require.NoError(t, err)
	assert.Equal(t, "as shown", got.Text, "where no instrument shows anything, it is a text")
	_, err = o.Ask(t.Context(), ask.Question{ID: "v", What: ask.NoteMatter, Takes: ask.YesNo{}})
	assert.ErrorIs(t, err, ask.ErrUnanswered)
	assert.ErrorContains(t, err, `v was answered "as shown"`)
	_, err = o.Watch(t.Context(), ask.Watch{ID: "v", Keys: []ask.Key{ask.Ready, ask.Leave}})
	assert.ErrorContains(t, err, `v has no key "as shown"; it has: ready, leave`)
}

// The key that a script presses where its file says nothing is pressed at once; none is
// pressed in a wait that is over.
func TestUnattendedKeys(t *testing.T) {
	o, c := operator(t, "answers:\n  - {when: a, say: ready, after: 800 ms}\n")
	ready := ask.Watch{ID: "b", Keys: []ask.Key{ask.Ready}, Unattended: ask.Ready}
	began := c.Now()
	w, err := o.Watch(t.Context(), ready)
	require.NoError(t, err)
	require.True(t, c.Pass(time.Time{}))
	assert.Equal(t, ask.Ready, (<-w.Pressed()).Key)
	assert.Equal(t, began, c.Now())
	w.Close()

	ready.ID = "a"
	w, err = o.Watch(t.Context(), ready)
	require.NoError(t, err)
	w.Close()
	assert.False(t, c.Pass(time.Time{}), "nothing is left to come")

	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = o.Watch(ended, ready)
	assert.ErrorIs(t, err, context.Canceled)
	_, err = o.Ask(ended, ask.Question{ID: "a", What: ask.NoteMatter, Takes: ask.Line{}})
	assert.ErrorIs(t, err, context.Canceled)
}

// A star stands for any text, and for nothing else.
func TestFits(t *testing.T) {
	for _, tc := range []struct {
		pattern, name string
		fits          bool
	}{
		{"walk/*/reason", "walk/1.1/reason", true}, {"walk/*/reason", "walk//reason", true},
		{"walk/*/reason", "talk/1.1/reason", false}, {"walk/*/reason", "walk/1.1/reasons", false},
		{"*/a*b", "x/ab", true}, {"*/a*b", "x/b", false}, {"a", "a", true}, {"a", "ab", false}, {"*", "", true},
	} {
		assert.Equal(t, tc.fits, fits(tc.pattern, tc.name), "%s %s", tc.pattern, tc.name)
	}
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
	got, err := o.Ask(context.Background(), ask.Question{ID: "x", What: ask.NoteMatter, Takes: ask.Line{},
		Optional: true})
	require.NoError(t, err)
	assert.Empty(t, got)
	_, err = o.Ask(context.Background(), ask.Question{ID: "x", What: ask.NoteMatter, Takes: ask.Line{}})
	assert.ErrorIs(t, err, ask.ErrUnanswered)
}
