package record

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// What the end of a wait concludes: a detector that proved, a chime that was heard, a
// restart after which anything reported. All else has to be answered or tried again.
func TestWhatTheEndOfAWaitConcludes(t *testing.T) {
	minute := time.Minute
	z1 := signal.Signal{Address: "z1", State: signal.Active}
	cue := func(step string) Cue { return Cue{Step: step, Half: Operate} }
	silentRestore := []any{Cue{Step: "walk/1.1", Half: Restore}, 15 * time.Second, Ended{Step: "walk/1.1", By: ByTime}}
	for name, tc := range map[string]struct {
		step      string
		facts     []any
		concluded bool
	}{
		"operated only": {"walk/1.1", half("walk/1.1", Operate, "z1", signal.Active), false},
		"both halves":   {"walk/1.1", tried("walk/1.1", "z1"), true},
		"never closed": {"walk/1.1",
			story(half("walk/1.1", Operate, "z1", signal.Active), silentRestore), false},
		"crossed": {"walk/1.1", []any{cue("walk/1.1"), time.Second,
			signal.Signal{Address: "z2", State: signal.Active}, minute, Ended{Step: "walk/1.1", By: ByTime}}, false},
		"silent": {"walk/1.1", []any{cue("walk/1.1"), minute, Ended{Step: "walk/1.1", By: BySilent}}, false},
		"again":  {"walk/1.1", []any{cue("walk/1.1"), time.Second, z1, Ended{Step: "walk/1.1", By: ByAgain}}, false},

		"the chime heard": {chimeStep, []any{cue(chimeStep), time.Second, Ended{Step: chimeStep, By: ByHeard}}, true},
		"the chime silent": {chimeStep,
			[]any{cue(chimeStep), time.Second, z1, minute, Ended{Step: chimeStep, By: BySilent}}, false},
		"the chime's time": {chimeStep,
			[]any{cue(chimeStep), time.Second, z1, minute, Ended{Step: chimeStep, By: ByTime}}, false},

		"restarted": {programme.IDRestart, []any{cue(programme.IDRestart), minute,
			signal.Signal{Address: "z2", State: signal.Restored}, Ended{Step: programme.IDRestart, By: ByTime}}, true},
		"restarted, nothing came": {programme.IDRestart,
			[]any{cue(programme.IDRestart), minute, Ended{Step: programme.IDRestart, By: ByTime}}, false},
		"restarted, left": {programme.IDRestart,
			[]any{cue(programme.IDRestart), minute, z1, Ended{Step: programme.IDRestart, By: ByLeaving}}, false},
		"restarted, given up": {programme.IDRestart,
			[]any{cue(programme.IDRestart), minute, z1, Ended{Step: programme.IDRestart, By: BySilent}}, false},
		"restarted, the outage over": {programme.IDRestart, []any{cue(programme.IDRestart), signal.Connection{},
			minute, signal.Connection{Up: true}, z1, Ended{Step: programme.IDRestart, By: ByTime}}, true},
	} {
		r := recordOf(t, tc.facts...)
		assert.Equal(t, tc.concluded, r.Find(tc.step).Concluded(), name)
		trial, on := r.Trial()
		assert.Nil(t, trial, name)
		assert.Nil(t, on, name)
	}
}

// A wait that is broken off says nothing of the detector, and its cue may be given anew.
func TestWhatBreaksAWaitOff(t *testing.T) {
	second := time.Second
	cue := Cue{Step: "walk/1.1", Half: Operate}
	for name, tc := range map[string]struct {
		facts []any
		by    End
	}{
		"a pause": {[]any{cue, second, Paused{By: StopByTechnician}, Resumed{}}, ByPause},

		"the program died": {[]any{cue, second, signal.Connection{Up: true}, Resumed{}}, ByPause},
		"the connection":   {[]any{cue, second, signal.Connection{}}, ByLost},
		"and its own end":  {[]any{cue, second, signal.Connection{}, second, Ended{Step: "walk/1.1", By: ByTime}}, ByLost},
	} {
		r := recordOf(t, tc.facts...)
		trial := r.Find("walk/1.1").Attempts()[0].Operate
		assert.Equal(t, tc.by, trial.EndedBy(), name)
		assert.Equal(t, second, trial.Ended(), name)
		assert.Equal(t, Void, trial.Judge().Verdict, name)
		waiting, _ := r.Trial()
		assert.Nil(t, waiting, name)
		assert.NoError(t, take(t, r, r.Runs(), time.Minute, cue), name)
	}
	r := recordOf(t, cue, second, Paused{By: StopByTechnician})
	waiting, _ := r.Trial()
	assert.Nil(t, waiting, "the pause itself ends it")
	r = recordOf(t, cue, second, signal.Connection{Up: true})
	waiting, _ = r.Trial()
	assert.NotNil(t, waiting, "connected anew, nothing is lost")
	r = recordOf(t, Cue{Step: programme.IDRestart, Half: Operate}, second, signal.Connection{})
	waiting, _ = r.Trial()
	assert.NotNil(t, waiting, "without power the controller is lost: that is the trial")
}

// Any zone may answer a restart; a site may have only one.
func TestARestartOfASiteWithOneZone(t *testing.T) {
	opened := openedHonestly(t, asItIs)
	window, chime := strings.Index(opened.Site, "  - {number: 2"), strings.Index(opened.Site, "outputs:")
	opened.Site = opened.Site[:window] + opened.Site[chime:]
	opened.Programme = programme.Of(readSite(t, opened.Site), programme.Checklist{})
	r, err := told(t, opened, Cue{Step: programme.IDRestart, Half: Operate})
	require.NoError(t, err)
	trial, on := r.Trial()
	assert.Equal(t, programme.IDRestart, on.Step().ID)
	assert.Equal(t, "z1", trial.Zone().Address)
}

// Attempts that were broken off stay, and are counted apart.
func TestAttempts(t *testing.T) {
	again := []any{Cue{Step: "walk/2.1", Half: Operate}, time.Second, Ended{Step: "walk/2.1", By: ByAgain}}
	silent := []any{Cue{Step: "walk/2.1", Half: Operate}, 15 * time.Second, Ended{Step: "walk/2.1", By: BySilent}}
	for name, tc := range map[string]struct {
		facts                   []any
		all, complete, brokenOf int
		last                    Verdict // "" for none
	}{
		"none":                     {nil, 0, 0, 0, ""},
		"waiting":                  {again[:1], 1, 0, 1, ""},
		"broken off":               {again, 1, 0, 1, ""},
		"silent":                   {silent, 1, 1, 0, Silent},
		"only operated":            {half("walk/2.1", Operate, "z2", signal.Active), 1, 0, 1, ""},
		"tried":                    {tried("walk/2.1", "z2"), 1, 1, 0, Proved},
		"silent, then tried":       {story(silent, again, tried("walk/2.1", "z2")), 3, 2, 1, Proved},
		"silent, then broken off":  {story(silent, again), 2, 1, 1, Silent},
		"another detector's is no": {tried("walk/1.1", "z1"), 0, 0, 0, ""},
	} {
		o := recordOf(t, tc.facts...).Find("walk/2.1")
		assert.Len(t, o.Attempts(), tc.all, name)
		assert.Len(t, o.Tried(), tc.complete, name)
		assert.Equal(t, tc.brokenOf, o.BrokenOff(), name)
		if last := o.Last(); tc.last == "" {
			assert.Nil(t, last, name)
		} else if assert.NotNil(t, last, name) {
			assert.Equal(t, tc.last, last.Verdict(), name)
		}
	}
}

// For a chime the last wait counts that was carried to its end.
func TestTheLastEndedWait(t *testing.T) {
	wait := func(by End) []any {
		return []any{Cue{Step: chimeStep, Half: Operate}, time.Second, Ended{Step: chimeStep, By: by}}
	}
	for name, tc := range map[string]struct {
		facts []any
		by    End // "" for none
	}{
		"none":                {nil, ""},
		"waiting":             {wait(ByTime)[:1], ""},
		"broken off":          {wait(ByLeaving), ""},
		"silent":              {wait(BySilent), BySilent},
		"silent, then heard":  {story(wait(BySilent), wait(ByHeard)), ByHeard},
		"silent, then left":   {story(wait(BySilent), wait(BySkip)), BySilent},
		"silent, and waiting": {story(wait(BySilent), wait(ByTime)[:1]), BySilent},
	} {
		last := recordOf(t, tc.facts...).Find(chimeStep).LastEnded()
		if tc.by == "" {
			assert.Nil(t, last, name)
		} else if assert.NotNil(t, last, name) {
			assert.Equal(t, tc.by, last.EndedBy(), name)
		}
	}
}
