package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// More timelines for the table of TestWhatATrialShows: each is a way in which a trial
// could show more, or less, than happened.
func TestWhatATrialShowsAtItsEdges(t *testing.T) {
	s := readSite(t, trialSite)
	ms := time.Millisecond
	for _, tc := range []struct {
		name     string
		zone     int
		half     Half
		before   signal.State
		timeline string
		verdict  Verdict
		response time.Duration
		ended    time.Duration
	}{
		{"another zone before the cue is no state of this one", 1, Operate, signal.Restored,
			"-10ms z2 active; 400ms z1 active", Proved, 400 * ms, 1400 * ms},
		{"trouble before the cue is no state", 1, Operate, signal.Restored, "-10ms z1 trouble; 400ms z1 restored",
			Silent, 0, 15000 * ms},
		{"opened just before the cue, closed after it", 1, Operate, signal.Restored,
			"-10ms z1 active; 400ms z1 restored", Inverted, 0, 2400 * ms},
		{"opens and falls back", 1, Operate, signal.Restored, "400ms z1 active; 600ms z1 restored", Unsteady,
			400 * ms, 1600 * ms},
		{"chatter without end, late", 1, Operate, signal.Restored,
			"14s z1 active; 14500ms z1 restored; 15400ms z1 active; 16300ms z1 restored; 16900ms z1 active", Unsteady,
			14000 * ms, 17000 * ms},
		{"another zone at the end of the wait", 1, Operate, signal.Restored, "14500ms z2 active", Crossed, 0,
			16000 * ms},
		{"another zone closes", 1, Operate, signal.Restored, "500ms z2 restored", Silent, 0, 15000 * ms},
		{"an address that no zone has", 1, Operate, signal.Restored, "500ms z9 active", Silent, 0, 15000 * ms},
		{"trouble is no answer of a cover", 5, Operate, signal.Restored, "400ms z5 trouble", Silent, 0, 15000 * ms},
		{"closed before the cue", 1, Restore, signal.Restored, "", Silent, 0, 15000 * ms},
		{"another zone opens while this one should close", 1, Restore, signal.Active, "500ms z2 active", Silent, 0,
			15000 * ms},
		{"motion that had settled is seen again", 3, Restore, signal.Restored, "500ms z3 active", Inverted, 0,
			30500 * ms},
		{"motion that never was active", 3, Restore, signal.Unknown, "", Silent, 0, 45000 * ms},
	} {
		trial := newTrial(s, s.Zone(tc.zone), tc.half, 50*ms, tc.before)
		j, ended := play(t, trial, tc.timeline)
		assert.Equal(t, tc.verdict, j.Verdict, tc.name)
		assert.Equal(t, tc.response, j.Response, tc.name)
		assert.Equal(t, tc.ended, ended, tc.name)
		assert.Equal(t, tc.response > 0, trial.Reported(), tc.name)
		assert.Equal(t, tc.ended, j.Waited, tc.name)
		assert.False(t, j.GaveUp, tc.name)
	}
}

// A motion detector goes back by itself, perhaps before the end of its wait was written:
// it answered all the same, when it first did.
func TestMotionThatRestoresAtOnce(t *testing.T) {
	s := readSite(t, trialSite)
	trial := newTrial(s, s.Zone(3), Operate, 50*time.Millisecond, signal.Restored)
	trial.hear(Heard{Since: 700 * time.Millisecond, Address: "z3", State: signal.Active})
	trial.hear(Heard{Since: 704 * time.Millisecond, Address: "z3", State: signal.Restored})
	trial.hear(Heard{Since: 708 * time.Millisecond, Address: "z3", State: signal.Active})
	trial.endedBy, trial.ended = ByTime, 710*time.Millisecond
	j := trial.Judge()
	assert.Equal(t, Proved, j.Verdict)
	assert.Equal(t, 700*time.Millisecond, j.Response)
	assert.Equal(t, 3, j.Changes)
}

// What comes in the instant of the cue comes after it; what came before only tells the
// state.
func TestTheInstantOfTheCue(t *testing.T) {
	s := readSite(t, trialSite)
	for since, heard := range map[time.Duration]int{-1: 0, 0: 1, 1: 1} {
		trial := newTrial(s, s.Zone(1), Operate, 0, signal.Restored)
		trial.hear(Heard{Since: since, Address: "z1", State: signal.Active})
		assert.Len(t, trial.Heard(), heard, since)
		assert.Equal(t, since > 0, trial.Reported(), since)
	}
}

func TestEverythingThatAJudgementSays(t *testing.T) {
	s := readSite(t, trialSite)
	ms := time.Millisecond
	judge := func(timeline string) Judgement {
		j, _ := play(t, newTrial(s, s.Zone(1), Operate, 50*ms, signal.Restored), timeline)
		return j
	}
	window := &programme.ZoneName{Number: 2, Name: "Window"}

	// 40 ms inside the limit with u = 25 ms is 1.6 standard deviations: 0.9452 of the normal
	// distribution lies below (any table of it; from memory).
	j := judge("1960ms z1 active")
	assert.InDelta(t, 0.9452, j.Probability, 0.00005)
	j.Probability = 0
	assert.Equal(t, Judgement{Verdict: Undecided, Response: 1960 * ms, Uncertainty: 50 * ms, Limit: 2000 * ms,
		Changes: 1, Waited: 2960 * ms}, j)

	assert.Equal(t, Judgement{Verdict: Silent, Uncertainty: 50 * ms, Limit: 2000 * ms, Waited: 4000 * ms,
		GaveUp: true}, judge("4s silent"))
	assert.Equal(t, Judgement{Verdict: Crossed, Other: window, Uncertainty: 50 * ms, Limit: 2000 * ms,
		Waited: 2500 * ms}, judge("500ms z2 active"))

	short := judge("400ms z1 active; 500ms z2 active")
	assert.Equal(t, window, short.Also, "two loops that touch")
	assert.Nil(t, short.Other)
	assert.Equal(t, Proved, short.Verdict)
	assert.Nil(t, judge("400ms z1 active").Also)

	late := judge("3s z1 active; 3100ms z1 restored")
	assert.Equal(t, Unsteady, late.Verdict, "chatter is worse than late")
	assert.Zero(t, late.Probability)
}

// What was under way when the cue was given tells how it stood then, and is no response.
func TestUnderWayAtTheCue(t *testing.T) {
	s := readSite(t, trialSite)
	for took, want := range map[time.Duration]Verdict{400 * time.Millisecond: Proved, 401 * time.Millisecond: Silent} {
		trial := newTrial(s, s.Zone(1), Operate, 0, signal.Restored)
		trial.hear(Heard{Since: 400 * time.Millisecond, Address: "z1", State: signal.Active, Took: took})
		trial.endedBy, trial.ended = ByTime, trial.Deadline()
		assert.Equal(t, want, trial.Judge().Verdict, took)
	}
}

func TestGarbledReportsOfTheZoneOnTrial(t *testing.T) {
	s := readSite(t, trialSite)
	trial := newTrial(s, s.Zone(1), Operate, 0, signal.Restored)
	for _, h := range []Heard{{Since: 100, Address: "z1", State: signal.NotUnderstood, Raw: "ON?"},
		{Since: 200, Address: "z2", State: signal.NotUnderstood, Raw: "off?"}, {Since: 300, Address: "z1", State: signal.Trouble, Raw: "low"}} {
		trial.hear(h)
	}
	trial.endedBy, trial.ended = ByTime, time.Minute
	assert.Equal(t, "ON?", trial.Judge().Garbled)
	assert.Equal(t, Silent, trial.Judge().Verdict)
}

// An end that comes before the deadline shows nothing where something was on its way;
// whoever says that nothing came has been told otherwise. A chime is over when heard.
func TestEndsBeforeTheDeadline(t *testing.T) {
	s := readSite(t, trialSite)
	for _, tc := range []struct {
		by      End
		since   time.Duration // of a report; 0 for none
		ended   time.Duration
		verdict Verdict
	}{
		{ByTime, 400 * time.Millisecond, 1400 * time.Millisecond, Proved},
		{ByTime, 400 * time.Millisecond, 1400*time.Millisecond - 1, Void},
		{ByTime, 0, 15*time.Second - 1, Void},
		{ByTime, 0, 15 * time.Second, Silent},
		{BySilent, 400 * time.Millisecond, time.Second, Void},
		{BySilent, 1, time.Second, Void},
		{BySilent, 400 * time.Millisecond, 2 * time.Second, Proved},
		{BySilent, 0, time.Second, Silent},
		{ByHeard, 400 * time.Millisecond, 500 * time.Millisecond, Proved},
		{ByAgain, 400 * time.Millisecond, 2 * time.Second, Void},
		{BySkip, 400 * time.Millisecond, 2 * time.Second, Void},
		{ByLeaving, 400 * time.Millisecond, 2 * time.Second, Void},
		{ByLost, 400 * time.Millisecond, 2 * time.Second, Void},
		{ByPause, 400 * time.Millisecond, 2 * time.Second, Void},
		{"", 400 * time.Millisecond, 2 * time.Second, Void},
	} {
		trial := newTrial(s, s.Zone(1), Operate, 0, signal.Restored)
		if tc.since > 0 {
			trial.hear(Heard{Since: tc.since, Address: "z1", State: signal.Active})
		}
		trial.endedBy, trial.ended = tc.by, tc.ended
		assert.Equal(t, tc.verdict, trial.Judge().Verdict, "%+v", tc)
	}
}

func TestWhichVerdictsAreAnswers(t *testing.T) {
	for verdict, answered := range map[Verdict]bool{
		Proved: true, Undecided: true, Late: true, Unsteady: true,
		Inverted: false, Crossed: false, Silent: false, NotTested: false, Void: false,
	} {
		assert.Equal(t, answered, Judgement{Verdict: verdict}.Answered(), verdict)
	}
}

// A journal whose times have an uncertainty that cannot be is refused.
func TestAnUncertaintyThatCannotBe(t *testing.T) {
	_, err := told(t, openedHonestly(t, asItIs),
		signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: -1})
	assert.ErrorIs(t, err, ErrNoSense)
}

// The worse half is the attempt's verdict, each pair of neighbours in the order from
// best to worst.
func TestTheWorseHalfCounts(t *testing.T) {
	s := readSite(t, trialSite)
	operate := map[Verdict]string{
		Proved: "400ms z1 active", Undecided: "1960ms z1 active", Late: "3s z1 active",
		Unsteady: "400ms z1 active; 500ms z1 restored",
		Inverted: "400ms z1 restored", Crossed: "400ms z2 active", Silent: "",
	}
	restore := map[Verdict]string{
		Proved: "400ms z1 restored", Undecided: "4960ms z1 restored", Late: "6s z1 restored",
		Unsteady: "400ms z1 restored; 500ms z1 active", Inverted: "400ms z1 active", Silent: "", Void: "1s again",
	}
	trial := func(h Half, before signal.State, timeline string, is Verdict) *Trial {
		trial := newTrial(s, s.Zone(1), h, 50*time.Millisecond, before)
		j, _ := play(t, trial, timeline)
		require.Equal(t, is, j.Verdict)
		return trial
	}
	for _, tc := range []struct{ operated, restored, worse Verdict }{
		{Proved, Proved, Proved},
		{Proved, Undecided, Undecided}, {Undecided, Proved, Undecided},
		{Undecided, Late, Late}, {Late, Undecided, Late},
		{Late, Unsteady, Unsteady}, {Unsteady, Late, Unsteady},
		{Unsteady, Inverted, Inverted}, {Inverted, Unsteady, Inverted},
		{Crossed, Inverted, Crossed},
		{Crossed, Silent, Silent}, {Silent, Inverted, Silent},
		{Proved, Silent, Silent}, {Silent, Proved, Silent},
		{Proved, Void, Void}, {Silent, Void, Silent},
	} {
		before := signal.Active
		if tc.restored == Inverted {
			before = signal.Unknown
		}
		a := Attempt{trial(Operate, signal.Unknown, operate[tc.operated], tc.operated), trial(Restore, before,
			restore[tc.restored], tc.restored)}
		assert.Equal(t, tc.worse, a.Verdict(), "%+v", tc)
	}
	only := Attempt{Operate: trial(Operate, signal.Unknown, operate[Crossed], Crossed)}
	assert.Equal(t, Crossed, only.Verdict(), "operating it showed what is wrong")
	only = Attempt{Operate: trial(Operate, signal.Unknown, operate[Proved], Proved)}
	assert.Equal(t, Void, only.Verdict(), "it was never restored")
	assert.Equal(t, Void, Attempt{}.Verdict())
}
