package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

const struckStep = "walk/1.1"

// silent is an attempt at the door that nothing came of, and brokenOff one that was ended
// so soon that it says nothing.
func silent() []any {
	return []any{Cue{Step: struckStep, Half: Operate}, 20 * time.Second, Ended{Step: struckStep, By: BySilent}}
}

func brokenOff(after time.Duration) []any {
	return []any{Cue{Step: struckStep, Half: Operate}, after, Ended{Step: struckStep, By: ByAgain}}
}

func strike(n int) Struck { return Struck{Step: struckStep, Trial: n, Reason: "a ladder stood in it"} }

// The verdict is that of the last attempt that stands; where none does, the step is open.
func TestWhatAStruckTrialLeaves(t *testing.T) {
	asIs := answer(struckStep, AsItIs)
	for name, tc := range map[string]struct {
		facts     []any
		verdict   Verdict // "" where no attempt stands
		concluded bool
		tried     int
		result    Result
	}{
		"the only one, which proved":  {story(tried(struckStep, "z1"), []any{strike(1)}), "", false, 0, ""},
		"the only one, left as it is": {story(silent(), []any{asIs, strike(1)}), "", false, 0, ""},
		"a miss before the proof":     {story(silent(), tried(struckStep, "z1"), []any{strike(1)}), Proved, true, 1, ""},
		"the proof after a miss": {story(silent(), tried(struckStep, "z1"), []any{strike(2)}), Silent,
			false, 1, ""},
		"a miss after a proof": {story(tried(struckStep, "z1"), []any{Reopened{struckStep}}, silent(),
			[]any{strike(2)}), Proved, true, 1, ""},
		"left as it is, after a proof": {story(tried(struckStep, "z1"), []any{Reopened{struckStep}}, silent(),
			[]any{asIs, strike(2)}), Proved, true, 1, ""},
		"the earlier one, left as it is": {story(silent(), silent(), []any{asIs, strike(1)}), Silent, true, 1, AsItIs},
		"the later one, left as it is":   {story(silent(), silent(), []any{asIs, strike(2)}), Silent, false, 1, ""},
		"both":                           {story(silent(), silent(), []any{asIs, strike(2), strike(1)}), "", false, 0, ""},
		"not tested all the same": {story(silent(), []any{answer(struckStep, LeftOut), strike(1)}), "",
			true, 0, LeftOut},
		"one that was broken off": {story(brokenOff(5*time.Second), tried(struckStep, "z1"),
			[]any{strike(1)}), Proved, true, 1, ""},
	} {
		o := recordOf(t, tc.facts...).Find(struckStep)
		verdict := Verdict("")
		if last := o.Last(); last != nil {
			verdict = last.Verdict()
		}
		assert.Equal(t, tc.verdict, verdict, name)
		assert.Equal(t, tc.concluded, o.Concluded(), name)
		assert.Len(t, o.Tried(), tc.tried, name)
		assert.Equal(t, tc.result, o.Result(), name)
		assert.Zero(t, o.BrokenOff(), name)
	}
}

// What was struck is listed with its reason and with what it showed, and counts nowhere.
func TestStruckTrialsAreListed(t *testing.T) {
	o := recordOf(t, story(silent(), brokenOff(time.Second), brokenOff(5*time.Second), tried(struckStep, "z1"),
		[]any{strike(1), strike(4)})...).Find(struckStep)
	struck := o.Struck()
	assert.Len(t, struck, 2)
	for n, want := range map[int]Verdict{1: Silent, 4: Proved} {
		a := struck[n]
		assert.Equal(t, "a ladder stood in it", a.Struck())
		assert.Equal(t, Void, a.Verdict())
		assert.Equal(t, Void, a.Operate.Judge().Verdict)
		assert.False(t, a.Operate.Missed(), "it does not count against the detector")
		assert.Equal(t, want, a.AsTaken().Verdict())
		assert.Empty(t, a.AsTaken().Struck())
		assert.Equal(t, "a ladder stood in it", o.Attempts()[n-1].Operate.Struck(), "what it is shown as changes nothing")
	}
	assert.Equal(t, "a ladder stood in it", struck[4].Restore.Struck())
	assert.Nil(t, struck[1].AsTaken().Restore)
	assert.Equal(t, []int{3}, o.Standing(), "one that was broken off after its limit counts as missed")
	assert.Equal(t, 2, o.BrokenOff())
	assert.True(t, o.Attempts()[2].Operate.Missed())
	assert.Empty(t, o.Attempts()[2].Struck())

	o = recordOf(t, story(silent(), tried(struckStep, "z1"))...).Find(struckStep)
	assert.Equal(t, []int{1, 2}, o.Standing())
	assert.Empty(t, o.Struck())
}

func TestWhatCannotBeStruck(t *testing.T) {
	const says = "to strike"
	refuses(t, says, strike(1))
	refuses(t, says, append(silent(), strike(0))...)
	refuses(t, says, append(silent(), strike(2))...)
	refuses(t, says, append(silent(), strike(1), strike(1))...)
	refuses(t, says, append(silent(), Cue{Step: struckStep, Half: Operate}, strike(1))...)
	recordOf(t, append(silent(), Cue{Step: "walk/2.1", Half: Operate}, strike(1))...)
	refuses(t, "for no reason", append(silent(), Struck{Step: struckStep, Trial: 1})...)
	refuses(t, "for no reason", append(silent(), Struck{Step: struckStep, Trial: 1, Reason: " "})...)
	chime := []any{Cue{Step: chimeStep, Half: Operate}, time.Second, signal.Signal{Address: "z1", State: signal.Active},
		Ended{Step: chimeStep, By: ByHeard}}
	refuses(t, "no struck belongs", append(chime, Struck{Step: chimeStep, Trial: 1, Reason: "x"})...)
	refuses(t, "has no step", Struck{Step: "walk/9.9", Trial: 1, Reason: "x"})
}

// Who has signed has not seen what a strike leaves, and a proof on standby is taken again
// without mains.
func TestAStrikeLapses(t *testing.T) {
	signed := Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "x"}
	r := recordOf(t, append(silent(), answer(struckStep, AsItIs), signed, strike(1))...)
	assert.False(t, r.Find(programme.IDTechnician).Concluded())
	assert.True(t, r.Lapsed())

	const proof = "supply/proof-1.1"
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	facts := story([]any{off}, tried(proof, "z1"), []any{on, Struck{Step: proof, Trial: 1, Reason: "x"}})
	r = recordOf(t, facts...)
	for _, id := range []string{programme.IDMainsOff, programme.IDMainsOn, proof} {
		assert.False(t, r.Find(id).Concluded(), id)
	}
}
