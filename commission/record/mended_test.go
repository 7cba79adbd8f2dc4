package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

func noted(text string) []any { return []any{Note{Step: struckStep, Text: text}} }

// A repair is a note after a miss, if the last attempt proved: then what was before it
// tells nothing of how the detector is now.
func TestWhatWasMended(t *testing.T) {
	proved := func() []any { return tried(struckStep, "z1") }
	late := story(half(struckStep, Operate, "z1", signal.Active),
		[]any{Cue{Step: struckStep, Half: Restore}, 20 * time.Second, Ended{struckStep, BySilent}})
	closed := []any{signal.Signal{Address: "z1", State: signal.Restored}}
	for name, tc := range map[string]struct {
		facts  []any
		mended []string
		since  int
	}{
		"nothing was tried":          {noted("stiff"), nil, 0},
		"not missed":                 {story(proved(), noted("stiff")), nil, 1},
		"missed without a word":      {story(silent(), proved()), nil, 2},
		"noted before the miss":      {story(noted("stiff"), silent(), proved()), nil, 2},
		"not proved since":           {story(silent(), noted("crimped")), nil, 1},
		"still silent":               {story(silent(), noted("crimped"), silent()), nil, 2},
		"mended":                     {story(silent(), noted("crimped"), proved()), []string{"crimped"}, 1},
		"with two notes":             {story(noted("stiff"), silent(), noted("a"), noted("b"), proved()), []string{"a", "b"}, 1},
		"mended twice":               {story(silent(), noted("a"), silent(), noted("b"), proved()), []string{"b"}, 1},
		"a note after the proof too": {story(silent(), noted("a"), proved(), noted("b")), []string{"a", "b"}, 1},
		"its restoring was missed":   {story(late, noted("a"), closed, proved()), []string{"a"}, 1},
		"the miss was struck":        {story(silent(), noted("a"), proved(), []any{strike(1)}), nil, 2},
	} {
		step := recordOf(t, tc.facts...).Find(struckStep)
		assert.Equal(t, tc.mended, step.Mended(), name)
		assert.Len(t, step.SinceMended(), tc.since, name)
	}
}

// A report that no rule understood is forgotten once its zone was proved without one.
func TestUnderstoodAtLast(t *testing.T) {
	garbled := []any{signal.Signal{Address: "z1", State: signal.NotUnderstood, Raw: "ajar"}}
	during := func(h Half, state signal.State) []any {
		return story([]any{Cue{Step: struckStep, Half: h}}, garbled, []any{400 * time.Millisecond,
			signal.Signal{Address: "z1", State: state}, 20 * time.Second, Ended{struckStep, ByTime}})
	}
	for name, tc := range map[string]struct {
		facts []any
		want  string
	}{
		"not proved since":        {story(garbled, silent()), "ajar"},
		"proved since":            {story(garbled, tried(struckStep, "z1")), ""},
		"another zone was proved": {story(garbled, tried("walk/2.1", "z2")), "ajar"},
		"while it was operated":   {story(during(Operate, signal.Active), half(struckStep, Restore, "z1", signal.Restored)), "ajar"},
		"while it was restored":   {story(half(struckStep, Operate, "z1", signal.Active), during(Restore, signal.Restored)), "ajar"},
		"again after the proof":   {story(tried(struckStep, "z1"), garbled), "ajar"},
	} {
		assert.Equal(t, tc.want, recordOf(t, tc.facts...).Garbled("z1"), name)
	}
}
