package typed

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
)

// codes is a language that says codes.
type codes struct{}

func (codes) Say(p ask.Phrase) string { return p.Code() }

func TestNoticesAreSetByTheirWeight(t *testing.T) {
	for _, tc := range []struct {
		notice ask.Notice
		want   []string
	}{
		{ask.TooSoon{}, []string{"   notice/too-soon"}},
		{ask.MayBeOn{}, []string{"notice/may-be-on"}},
		{ask.StageBegins{}, []string{"", "== NOTICE/STAGE-BEGINS =="}},
		{ask.LoudCaution{}, []string{"", "typed/caution  notice/loud-caution"}},
		{ask.MainsStillOff{}, []string{"   notice/mains-still-off"}},
	} {
		assert.Equal(t, tc.want, Lines(codes{}, tc.notice))
	}
}

// What stands below a question is its help, and how the answer is typed.
func TestQuestions(t *testing.T) {
	for _, tc := range []struct {
		q    ask.Question
		want []string
	}{
		{ask.Question{What: ask.NoteMatter, Takes: ask.Line{}}, []string{"matter/note"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.Line{}, Optional: true},
			[]string{"matter/note", "   typed/leave-out"}},
		{ask.Question{What: ask.NoteMatter, Help: ask.PrintedAdvice, Takes: ask.Line{}, Optional: true, Back: true},
			[]string{"matter/note", "   advice/printed; typed/back"}},
		{ask.Question{What: ask.LoopMatter, Takes: ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured}, Shown: "12 V"},
			[]string{"matter/loop", "   typed/example; typed/not-measured", "   typed/meter-shows"}},
		{ask.Question{What: ask.SignatureMatter, Takes: ask.Signature{}, Optional: true},
			[]string{"matter/signature", "   typed/file; typed/leave-out"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.YesNo{Danger: true}, Back: true},
			[]string{"matter/note", "   typed/whole-yes; typed/no-back"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.YesNo{}}, []string{"matter/note"}},
		{ask.Question{What: ask.AcceptanceMatter, About: []ask.Phrase{ask.NothingOutstanding{}}, Takes: ask.OneOf{}},
			[]string{"   matter/nothing-outstanding", "matter/acceptance"}},
	} {
		lines, about := Question(codes{}, tc.q)
		assert.Equal(t, tc.want, lines)
		assert.Len(t, about, len(tc.q.About))
	}
}

// A signature is named by its file, as a terminal inserts it when one is dropped there.
func TestFilesOfPictures(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("USERPROFILE", home)
	for typed, want := range map[string]string{
		`'/a b/c.png'`: "/a b/c.png", `"/a b/c.png" `: "/a b/c.png",
		"~/c.png": filepath.Join(home, "c.png"), "c.png": "c.png", `'`: `'`, "": "",
	} {
		assert.Equal(t, want, unquoted(typed))
	}
	q := ask.Question{Takes: ask.Signature{}, Optional: true}
	require.NoError(t, os.WriteFile(filepath.Join(home, "text.png"), []byte("no picture"), 0o644))
	_, err := Answer(q, "~/text.png")
	assert.ErrorContains(t, err, "neither a JPEG nor a PNG")
	_, err = Answer(q, "~/gone.png")
	assert.ErrorIs(t, err, os.ErrNotExist)
	got, err := Answer(q, " ")
	require.NoError(t, err)
	assert.Zero(t, got)
	got, err = Answer(ask.Question{Takes: ask.Line{}}, "~/text.png")
	require.NoError(t, err)
	assert.Equal(t, "~/text.png", got.Text, "elsewhere it is a text")
}

// Each key that a watch may offer is on the keyboard, and no two are the same.
func TestEachKeyHasItsOwn(t *testing.T) {
	seen := map[rune]bool{}
	for key, r := range Runes {
		assert.False(t, seen[r], key)
		seen[r] = true
	}
	assert.Len(t, Runes, 11)
}
