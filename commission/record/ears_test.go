package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// twoEars are a broker that reports zones 1 and 2, and a controller that is asked and reports zones 2,
// 3 and 4. Zone 2 belongs to none of them beforehand.
func twoEars() signal.Listening {
	mqtt := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7,
		Addresses: []string{"z1", "z2"}, Tells: []signal.Aspect{signal.Set}}
	poll := signal.Listening{Way: signal.ByPolling, TimedBy: signal.ByComputer, UncertaintyNS: 105e7, AskedNS: 1e9,
		Addresses: []string{"z2", "z3", "z4"}, Tells: []signal.Aspect{signal.MainsFault}}
	return signal.Together([]signal.Listening{mqtt, poll})
}

func by(ear signal.Way, address string, state signal.State) signal.Signal {
	return signal.Signal{Address: address, State: state, Ear: ear}
}

func lost(ear signal.Way) signal.Connection {
	return signal.Connection{Ear: ear, Why: signal.Broken, Detail: "EOF"}
}

func back(ear signal.Way) signal.Connection {
	return signal.Connection{Ear: ear, Up: true, Why: signal.BackAgain}
}

// heardByTwo is what a second run says that listens with two ears.
func heardByTwo(t *testing.T, facts ...any) *Record {
	t.Helper()
	opened := openedHonestly(t, asItIs)
	opened.Site, opened.Programme = ownSite, programmeOf(t, ownSite)
	r, err := told(t, opened, story([]any{Resumed{}, twoEars()}, facts)...)
	require.NoError(t, err)
	return r
}

// An address has the times of its ear; until it is known whose it is, those of the worst.
func TestTimesAreKnownAsWellAsByTheirEar(t *testing.T) {
	cue := func(point string) Cue { return Cue{Step: "walk/" + point, Half: Operate} }
	for name, tc := range map[string]struct {
		facts []any
		is    time.Duration
	}{
		"of the broker":               {[]any{cue("1.1")}, 50 * time.Millisecond},
		"of who is asked":             {[]any{cue("3.1")}, 1050 * time.Millisecond},
		"of either":                   {[]any{cue("2.1")}, 1050 * time.Millisecond},
		"of the one that reported it": {[]any{by(signal.OverMQTT, "z2", signal.Restored), cue("2.1")}, 50 * time.Millisecond},
		"of the one that reported it first": {[]any{by(signal.ByPolling, "z2", signal.Restored),
			by(signal.OverMQTT, "z2", signal.Restored), cue("2.1")}, 1050 * time.Millisecond},
		"what is not understood decides nothing": {[]any{by(signal.OverMQTT, "z2", signal.NotUnderstood), cue("2.1")},
			1050 * time.Millisecond},
		"each run decides anew": {[]any{by(signal.OverMQTT, "z2", signal.Restored), Resumed{}, twoEars(), cue("2.1")},
			1050 * time.Millisecond},
	} {
		trial, _ := heardByTwo(t, tc.facts...).Trial()
		assert.Equal(t, tc.is, trial.Rules().Uncertainty, name)
		if tc.is < time.Second || name == "of either" { // of either, nothing is known of what it is late by
			assert.Zero(t, trial.Rules().Asked, name)
		}
	}
	polled, _ := heardByTwo(t, cue("3.1")).Trial()
	assert.Equal(t, time.Second, polled.Rules().Asked)
	r := heardByTwo(t)
	assert.Equal(t, int64(105e7), r.HeardAt(programme.Step{}).UncertaintyNS, "of a step without a zone")
	assert.Equal(t, signal.OverMQTT, r.HeardBy("z1").Way)
	assert.Len(t, r.HeardBy("z9").Ears, 2, "of an address that no rule is about")
}

// What another ear reports of an address proves nothing, and is counted.
func TestAnAddressBelongsToOneEar(t *testing.T) {
	opened := func(ear signal.Way, address, step string) []any {
		return []any{by(ear, address, signal.Restored), time.Second, Cue{Step: step, Half: Operate}, 400 * time.Millisecond,
			by(ear, address, signal.Active), 20 * time.Second, Ended{Step: step, By: ByTime}}
	}
	kept := by(signal.ByPolling, "z1", signal.Active)
	kept.Kept = signal.Retained
	old := by(signal.OverMQTT, "z2", signal.Restored)
	old.Kept = signal.Retained
	for name, tc := range map[string]struct {
		facts     []any
		step      string
		verdict   Verdict
		elsewhere map[string]int
	}{
		"its own": {opened(signal.OverMQTT, "z1", "walk/1.1"), "walk/1.1", Proved, map[string]int{}},
		"another": {opened(signal.ByPolling, "z1", "walk/1.1"), "walk/1.1", Silent, map[string]int{"z1": 2}},
		"either":  {opened(signal.ByPolling, "z2", "walk/2.1"), "walk/2.1", Proved, map[string]int{}},
		"either, by the other before": {story([]any{by(signal.OverMQTT, "z2", signal.Restored)},
			opened(signal.ByPolling, "z2", "walk/2.1")), "walk/2.1", Silent, map[string]int{"z2": 2}},
		"either, kept by the other before": {story([]any{old}, opened(signal.ByPolling, "z2", "walk/2.1")), "walk/2.1",
			Proved, map[string]int{}},
		"kept is not counted": {story([]any{kept}, opened(signal.OverMQTT, "z1", "walk/1.1")), "walk/1.1", Proved,
			map[string]int{}},
	} {
		r := heardByTwo(t, tc.facts...)
		assert.Equal(t, tc.elsewhere, r.Elsewhere(), name)
		got := r.Find(tc.step).Attempts()[0].Operate.Judge().Verdict
		assert.Equal(t, tc.verdict, got, name)
	}
}

// The loss of an ear concerns what belongs to it, and nothing else.
func TestALossConcernsItsOwn(t *testing.T) {
	waiting := func(step string) []any {
		return []any{by(signal.OverMQTT, "z1", signal.Restored), by(signal.ByPolling, "z3", signal.Restored), time.Second,
			Cue{Step: step, Half: Operate}, 300 * time.Millisecond}
	}
	for name, tc := range map[string]struct {
		step string
		lost signal.Way
		ends bool
		z1   signal.State
		z3   signal.State
	}{
		"its own":                             {"walk/1.1", signal.OverMQTT, true, "", signal.Restored},
		"the other":                           {"walk/1.1", signal.ByPolling, false, signal.Restored, ""},
		"either, where it is not known whose": {"walk/2.1", signal.ByPolling, true, signal.Restored, ""},
		"the other of a later":                {"walk/3.1", signal.OverMQTT, false, "", signal.Restored},
	} {
		r := heardByTwo(t, story(waiting(tc.step), []any{lost(tc.lost)})...)
		trial, _ := r.Trial()
		assert.Equal(t, tc.ends, trial == nil, name)
		assert.Equal(t, []signal.State{tc.z1, tc.z3}, []signal.State{r.StateOf("z1"), r.StateOf("z3")}, name)
		assert.Equal(t, []signal.Way{tc.lost}, r.Deaf(), name)
		assert.False(t, r.Connected(), name)
		assert.Equal(t, tc.lost, r.Outages()[0].Ear, name)
		if tc.ends {
			last := r.Find(tc.step).Attempts()[0].Operate
			assert.Equal(t, ByLost, last.EndedBy(), name)
			assert.Equal(t, Void, last.Judge().Verdict, name)
		}
	}
}

// Two that are lost are two outages, each as long as it was.
func TestOutagesOfEars(t *testing.T) {
	r := heardByTwo(t, lost(signal.OverMQTT), time.Second, lost(signal.ByPolling), lost(signal.OverMQTT), 2*time.Second,
		back(signal.OverMQTT), 4*time.Second, back(signal.ByPolling))
	lasted := map[signal.Way]time.Duration{}
	for _, o := range r.Outages() {
		assert.False(t, o.To.IsZero())
		lasted[o.Ear] = o.Lasted
	}
	assert.Equal(
		t,
		map[signal.Way]time.Duration{signal.OverMQTT: 3 * time.Second, signal.ByPolling: 6 * time.Second},
		lasted,
	)
	assert.Len(t, r.Outages(), 2)
	assert.True(t, r.Connected())
	r = heardByTwo(t, lost(signal.OverMQTT), time.Second, lost(signal.ByPolling), time.Second,
		by(signal.OverMQTT, "z1", signal.Active), Resumed{}, twoEars())
	assert.Equal(t, []time.Duration{2 * time.Second, time.Second},
		[]time.Duration{r.Outages()[0].Lasted, r.Outages()[1].Lasted})
	assert.True(t, r.Outages()[0].Cut && r.Outages()[1].Cut)
	assert.True(t, r.Connected(), "another run begins with both")
}

// What the controller tells of itself is unknown once the ear is lost that tells it.
func TestAspectsOfEars(t *testing.T) {
	told := []any{signal.System{Aspect: signal.Set, Present: true, Ear: signal.OverMQTT},
		signal.System{Aspect: signal.MainsFault, Ear: signal.ByPolling}}
	r := heardByTwo(t, story(told, []any{lost(signal.ByPolling)})...)
	present, known := r.IsNow(signal.Set)
	assert.True(t, present && known)
	_, known = r.IsNow(signal.MainsFault)
	assert.False(t, known)
}

// A cue out of reach is not spoilt by what another ear lost meanwhile; nor is what was operated without one.
func TestTheOtherEarMeanwhile(t *testing.T) {
	late := Cue{Step: "walk/1.1", Half: Operate, BeforeNS: 2e9, UncertaintyNS: 1e8, Tap: &Tap{By: ByTouch}}
	for ear, ends := range map[signal.Way]bool{signal.OverMQTT: true, signal.ByPolling: false} {
		c := late
		c.Tap.DeviceNS = int64(5 * time.Second)
		r := heardByTwo(t, by(signal.OverMQTT, "z1", signal.Restored), 6*time.Second,
			by(signal.OverMQTT, "z1", signal.Active), time.Second/2, lost(ear), time.Second/2, c)
		trial, _ := r.Trial()
		assert.Equal(t, ends, trial == nil, ear)
		operated := heardByTwo(t, by(signal.OverMQTT, "z1", signal.Restored), time.Second,
			by(signal.OverMQTT, "z1", signal.Active), time.Second, lost(ear), time.Second,
			by(signal.OverMQTT, "z1", signal.Restored), time.Minute).Operations(0)
		assert.Equal(t, ends, len(operated) == 0, ear)
	}
}
