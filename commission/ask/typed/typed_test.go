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
		{ask.Question{What: ask.LoopMatter, Takes: ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured},
			Shown: "12 V"},
			[]string{"matter/loop", "   typed/example; typed/not-measured", "   typed/meter-shows"}},
		{ask.Question{What: ask.LoopMatter, Takes: ask.Quantity{In: checks.Resistance, Instead: ask.OpenLoop}},
			[]string{"matter/loop", "   typed/example; typed/open-loop"}},
		{ask.Question{What: ask.LevelMatter, Takes: ask.SoundLevel{}}, []string{"matter/level", "   typed/example"}},
		{ask.Question{What: ask.CalibrationMatter, Takes: ask.Date{}}, []string{"matter/calibration", "   typed/example"}},
		{ask.Question{What: ask.LoopMatter, Takes: ask.Conductor{}, Optional: true},
			[]string{"matter/loop", "   typed/example; typed/leave-out"}},
		{ask.Question{What: ask.DetectorMatter, Takes: ask.Names{Of: []string{"1.1", "1.2"}}, Back: true},
			[]string{"matter/detector", "   typed/example; typed/back"}},
		{ask.Question{What: ask.DetectorMatter, Takes: ask.Names{}}, []string{"matter/detector"}},
		{ask.Question{What: ask.AcceptanceMatter, Takes: ask.OneOf{}, Optional: true, Back: true},
			[]string{"matter/acceptance"}},
		{ask.Question{What: ask.SignatureOf{Name: "Ignace", Role: "customer"}, Takes: ask.Signature{}, Optional: true},
			[]string{"matter/signature", "   typed/file; typed/leave-out"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.YesNo{Danger: true}, Back: true},
			[]string{"matter/note", "   typed/whole-yes; typed/no-back"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.YesNo{}}, []string{"matter/note"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.YesNo{}, Optional: true}, []string{"matter/note",
			"   typed/leave-out"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.YesNo{}, Redo: ask.LevelMatter},
			[]string{"matter/note", "   typed/redo"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.Line{}, Optional: true, Redo: ask.LevelMatter},
			[]string{"matter/note", "   typed/leave-out; typed/redo"}},
		{ask.Question{What: ask.NoteMatter, Takes: ask.OneOf{}, Redo: ask.LevelMatter}, []string{"matter/note"}},
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
		`'c.png"`: `'c.png"`, `c.png"`: `c.png"`, `"c.png`: `"c.png`, "''": "", `'a'`: "a",
		`'/a b/c.png'`: "/a b/c.png", `"/a b/c.png" `: "/a b/c.png",
		"~/c.png": filepath.Join(home, "c.png"), "c.png": "c.png", `'`: `'`, "": "",
	} {
		assert.Equal(t, want, unquoted(typed))
	}
	q := ask.Question{Takes: ask.Signature{}, Optional: true}
	require.NoError(t, os.WriteFile(filepath.Join(home, "text.png"), []byte("no picture"), 0o644))
	_, err := InCodes(q, "redo")
	assert.ErrorIs(t, err, os.ErrNotExist, "a file, where nothing is taken again")
	_, err = InCodes(q, "~/text.png")
	assert.ErrorContains(t, err, "neither a JPEG nor a PNG")
	_, err = InCodes(q, "~/gone.png")
	assert.ErrorIs(t, err, os.ErrNotExist)
	got, err := InCodes(q, " ")
	require.NoError(t, err)
	assert.Zero(t, got)
	got, err = InCodes(ask.Question{Takes: ask.Line{}}, "~/text.png")
	require.NoError(t, err)
	assert.Equal(t, "~/text.png", got.Text, "elsewhere it is a text")
}

// To take the last answer again is one more choice of a list, and a word everywhere else,
// also where a file is asked for.
func TestTakingTheLastAnswerAgain(t *testing.T) {
	choice := ask.OneOf{Options: []ask.Option{{Word: "done", Label: ask.DoneChoice}}}
	q := ask.Question{Takes: choice}
	assert.Equal(t, choice.Options, Options(q))
	q.Redo = ask.LevelMatter
	again := ask.Option{Word: "redo", Label: ask.RedoChoice{Of: ask.LevelMatter}}
	assert.Equal(t, []ask.Option{choice.Options[0], again}, Options(q))
	assert.Len(t, choice.Options, 1)
	for _, takes := range []ask.Takes{choice, ask.Line{}, ask.Signature{}, ask.YesNo{Danger: true}, ask.Date{}} {
		got, err := InCodes(ask.Question{Takes: takes, Redo: ask.LevelMatter}, " redo ")
		require.NoError(t, err)
		assert.Equal(t, ask.Answer{Redo: true}, got)
	}
	got, err := InCodes(ask.Question{Takes: ask.Line{}}, "redo")
	require.NoError(t, err)
	assert.Equal(t, ask.Answer{Text: "redo"}, got, "nothing to take again: a text")
}

// offered are keys that may be offered together: what they share on the keyboard would be
// a choice of the program's.
var offered = map[string][]ask.Key{
	"before a cue": {ask.Ready, ask.Count, ask.Roam, ask.Jump, ask.Look, ask.Ohms, ask.Skip, ask.Note, ask.Leave, ask.Redo,
		ask.Quiet},
	"after a cue": {ask.Indicated, ask.AtRest, ask.Again, ask.Silent, ask.Skip, ask.Note, ask.Leave, ask.Heard,
		ask.Quiet, ask.Redo, ask.Jump},
	"while roaming": {ask.Touch, ask.NotThat, ask.RoomDone, ask.InOrder, ask.Jump, ask.Note, ask.Ohms, ask.Skip,
		ask.Leave, ask.Redo, ask.Indicated, ask.AtRest, ask.Quiet},
	"while something sounds": {ask.Stopped, ask.Heard, ask.Silent, ask.Again, ask.Ready, ask.Leave, ask.Redo, ask.Quiet,
		ask.Note, ask.Skip},
	"an alarm begins":  {ask.Begun, ask.Hush, ask.Skip, ask.Leave},
	"an alarm is set":  {ask.IsSet, ask.Silent, ask.Hush, ask.Skip, ask.Leave},
	"an intrusion":     {ask.Opened, ask.Hush, ask.Skip, ask.Leave},
	"an alarm sounds":  {ask.Sounds, ask.Silent, ask.Hush, ask.Skip, ask.Leave},
	"an alarm flashes": {ask.Flashes, ask.Silent, ask.Hush, ask.Skip, ask.Leave},
	"an alarm is over": {ask.IsUnset, ask.WentOff, ask.Stopped, ask.Silent, ask.Hush, ask.Skip, ask.Leave},
	"a centre's clock": {ask.Ready, ask.Cannot, ask.Leave, ask.Redo},
	"learning":         {ask.Finish, ask.Forget, ask.Quiet},
	"standing by":      {ask.TakeBack, ask.ShowPairing, ask.ShowAll, ask.NextPage},
}

// Each key is on the keyboard, and no two that are offered together are the same.
func TestEachKeyHasItsOwn(t *testing.T) {
	all := map[ask.Key]bool{}
	for when, keys := range offered {
		seen := map[rune]bool{}
		for _, key := range keys {
			assert.NotZero(t, Runes[key], key)
			assert.False(t, seen[Runes[key]], "%s: %s", when, key)
			seen[Runes[key]], all[key] = true, true
		}
	}
	assert.Len(t, all, len(Runes))
}

// examples is a language that says the text of an example.
type examples struct{ codes }

func (e examples) Say(p ask.Phrase) string {
	if text, is := p.(Example); is {
		return string(text) + "."
	}
	return e.codes.Say(p)
}

// Each form has an example of its own, and each that is shown is accepted. Of what stands
// in one line, only the last keeps its full stop.
func TestExamplesAreAccepted(t *testing.T) {
	for _, tc := range []struct {
		takes ask.Takes
		want  string
	}{
		{ask.SoundLevel{}, "96 dB(A) at 3 m ± 0.1 m over 55 dB class 2"},
		{ask.Conductor{}, "22 AWG, 0.22 mm2"},
		{ask.Date{}, "2027-03-01"},
		{ask.Names{Of: []string{"1.1", "1.2"}}, "1.2"},
	} {
		lines, _ := Question(examples{}, ask.Question{What: ask.NoteMatter, Takes: tc.takes})
		assert.Equal(t, []string{"matter/note", "   " + tc.want + "."}, lines)
		lines, _ = Question(examples{}, ask.Question{What: ask.NoteMatter, Takes: tc.takes, Optional: true})
		assert.Equal(t, []string{"matter/note", "   " + tc.want + "; typed/leave-out"}, lines)
		if _, several := tc.takes.(ask.Conductor); several {
			tc.want = "0.22 mm2"
		}
		got, err := InCodes(ask.Question{Takes: tc.takes}, " "+tc.want+" ")
		require.NoError(t, err)
		assert.Equal(t, tc.want, got.Text)
	}
}

func TestWatches(t *testing.T) {
	w := ask.Watch{Title: ask.PowerBackMatter, Lines: []ask.Phrase{ask.OperateNearAdvice, ask.AnnounceAdvice}}
	assert.Equal(t, []string{"matter/power-back", "   advice/operate-near", "   advice/announce"}, Watch(codes{}, w))
}

// Where nobody knows the home folder, the path stays as it was typed.
func TestNoHome(t *testing.T) {
	t.Setenv("HOME", "")
	t.Setenv("USERPROFILE", "")
	t.Setenv("home", "")
	if _, err := os.UserHomeDir(); err == nil {
		t.Skip("it is known here without a variable")
	}
	assert.Equal(t, "~/c.png", unquoted("~/c.png"))
}
