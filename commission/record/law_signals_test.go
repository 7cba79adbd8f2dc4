package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// heardFirst is what a record says whose first run tells facts without listening.
func heardFirst(t *testing.T, facts ...Fact) *Record {
	t.Helper()
	r := &Record{}
	require.NoError(t, take(t, r, 1, 0, openedHonestly(t, asItIs)))
	for i, f := range facts {
		require.NoError(t, take(t, r, max(1, r.run), time.Duration(i+1)*time.Second, f), f.Kind())
	}
	return r
}

func TestListeningComesFirst(t *testing.T) {
	sample := overMQTT
	sample.Sampled = true
	for _, f := range []Fact{reported("z1", signal.Active), signal.Connection{Up: true}, signal.Overrun{Lost: 1},
		Cue{Step: "walk/1.1", Half: Operate}, Ended{Step: "walk/1.1", By: ByAgain}, answer("walk/1.1", LeftOut),
		Entered{Stage: programme.StageSupply}, load, Instrument{Step: programme.IDVoltmeter, Name: "m"}, soundsOn,
		named(programme.IDTechnician, programme.Technician), PartAnswer{Step: "walk/1.1"}} {
		assert.Equal(t, []int{2}, brokenBy(heardFirst(t, f), LawListensFirst), f.Kind())
		assert.Empty(t, brokenBy(heardFirst(t, overMQTT, f), LawListensFirst), f.Kind())
	}
	for _, f := range []Fact{noted(), Paused{By: StopByError}, Absent{LastedNS: 1}, ClockStepped{ByNS: 1}} {
		assert.Empty(t, brokenBy(heardFirst(t, f), LawListensFirst), f.Kind())
	}
	holdsLaw(t, LawListensFirst, []lawCase{
		{"another run without", []any{Resumed{}, answer("walk/1.1", LeftOut)}, true},
		{"another run with", []any{Resumed{}, overMQTT, answer("walk/1.1", LeftOut)}, false},
	})
}

func TestEachWayHasItsTiming(t *testing.T) {
	with := func(l signal.Listening, change func(*signal.Listening)) []any {
		change(&l)
		return []any{Resumed{}, l}
	}
	as := func(l signal.Listening) []any { return with(l, func(*signal.Listening) {}) }
	seeded := inNoTime
	seeded.TimedBy = signal.BySeed
	holdsLaw(t, LawWay, []lawCase{
		{"a broker", as(overMQTT), false},
		{"keys", as(byKeys), false},
		{"simulated", as(seeded), false},
		{"in simulated time", as(inNoTime), false},
		{"a broker that samples", with(overMQTT, func(l *signal.Listening) { l.Sampled = true }), false},
		{"keys that sample", with(byKeys, func(l *signal.Listening) { l.Sampled = true }), true},
		{"a web hook", with(overMQTT, func(l *signal.Listening) { l.Way = signal.OverHook }), false},
		{
			"a web hook that samples",
			with(overMQTT, func(l *signal.Listening) { l.Way, l.Sampled = signal.OverHook, true }),
			true,
		},
		{
			"a web hook that is asked",
			with(overMQTT, func(l *signal.Listening) { l.Way, l.AskedNS = signal.OverHook, 1 }),
			true,
		},
		{"a broker that is asked", with(overMQTT, func(l *signal.Listening) { l.AskedNS = 1 }), true},
		{"a poll", with(overMQTT, func(l *signal.Listening) { l.Way, l.AskedNS = signal.ByPolling, 2e9 }), false},
		{"a poll that never asks", with(overMQTT, func(l *signal.Listening) { l.Way = signal.ByPolling }), true},
		{"a poll before time", with(overMQTT, func(l *signal.Listening) { l.Way, l.AskedNS = signal.ByPolling, -1 }), true},
		{"a broker by hand", with(overMQTT, func(l *signal.Listening) { l.ByHand = true }), true},
		{"a broker timed by hand", with(overMQTT, func(l *signal.Listening) { l.TimedBy = signal.ByHand }), true},
		{"keys timed by a computer", with(byKeys, func(l *signal.Listening) { l.TimedBy = signal.ByComputer }), true},
		{"keys not by hand", with(byKeys, func(l *signal.Listening) { l.ByHand = false }), true},
		{"a broker, for practice", with(overMQTT, func(l *signal.Listening) { l.Simulated = true }), false},
		{"a web hook, for practice", with(overMQTT, func(l *signal.Listening) {
			l.Way, l.Simulated = signal.OverHook, true
		}), false},
		{"keys, for practice", with(byKeys, func(l *signal.Listening) { l.Simulated = true }), true},
		{"simulated, timed by a computer", with(seeded, func(l *signal.Listening) { l.TimedBy = signal.ByComputer }), true},
		{"simulated, not said", with(seeded, func(l *signal.Listening) { l.Simulated = false }), true},
		{"in simulated time, not said", with(inNoTime, func(l *signal.Listening) { l.Simulated = false }), true},
		{"known otherwise", with(overMQTT, func(l *signal.Listening) { l.UncertaintyNS = 1 }), false},
	})
	holdsLaw(t, LawUncertainty, []lawCase{
		{"a broker", as(overMQTT), false},
		{"keys", as(byKeys), false},
		{"simulated", as(seeded), false},
		{"exactly", with(overMQTT, func(l *signal.Listening) { l.UncertaintyNS = 0 }), true},
		{"to a nanosecond", with(overMQTT, func(l *signal.Listening) { l.UncertaintyNS = 1 }), true},
		{"a nanosecond better", with(overMQTT, func(l *signal.Listening) { l.UncertaintyNS-- }), true},
		{"a nanosecond worse", with(overMQTT, func(l *signal.Listening) { l.UncertaintyNS++ }), true},
		{"a poll, with what it may be late", with(overMQTT, func(l *signal.Listening) {
			l.Way, l.AskedNS, l.UncertaintyNS = signal.ByPolling, 2e9, 5e7+2e9
		}), false},
		{"a poll without it", with(overMQTT, func(l *signal.Listening) { l.Way, l.AskedNS = signal.ByPolling, 2e9 }), true},
		{"keys as a computer", with(byKeys, func(l *signal.Listening) { l.UncertaintyNS = 5e7 }), true},
	})
	holdsLaw(t, LawListensOnce, []lawCase{
		{"once", nil, false},
		{"once a run", []any{Resumed{}, overMQTT, Resumed{}, byKeys}, false},
		{"twice", []any{overMQTT}, true},
		{"twice in a later run", []any{Resumed{}, overMQTT, byKeys}, true},
	})
}

func TestTheMeterIsOfTheSameWorld(t *testing.T) {
	meter := func(simulated bool) Instrument {
		return Instrument{Step: programme.IDVoltmeter, Name: "meter 7", Simulated: simulated}
	}
	holdsLaw(t, LawSameMeter, []lawCase{
		{"real", []any{meter(false)}, false},
		{"pretended", []any{meter(true)}, true},
		{"simulated", []any{Resumed{}, inNoTime, meter(true)}, false},
		{"real, at a simulated controller", []any{Resumed{}, inNoTime, meter(false)}, true},
	})
	assert.Empty(t, brokenBy(heardFirst(t, meter(true)), LawSameMeter), "nothing is known of the controller")
}

func TestKeysTellNothingElse(t *testing.T) {
	kept := reported("z1", signal.Active)
	kept.Kept = signal.Retained
	keys := func(f ...any) []any { return story([]any{Resumed{}, byKeys}, f) }
	tampers, garbled := reported("z1", signal.Tamper), reported("z1", signal.NotUnderstood)
	holdsLaw(t, LawToldByWay, []lawCase{
		{"active", keys(reported("z1", signal.Active)), false},
		{"restored", keys(reported("z1", signal.Restored)), false},
		{"kept", keys(kept), true},
		{"a cover", keys(tampers), true},
		{"trouble", keys(reported("z1", signal.Trouble)), true},
		{"nonsense", keys(garbled), true},
		{"a connection", keys(signal.Connection{Up: true}), true},
		{"an overrun", keys(signal.Overrun{Lost: 1}), true},
		{"an output", keys(soundsOn), true},
		{"an output by hand", keys(byHand(soundsOn)), false},
		{"a broker tells all", []any{kept, tampers, garbled, signal.Connection{Up: true}, signal.Overrun{Lost: 1}, soundsOn},
			false},
		{"a simulated one", []any{Resumed{}, inNoTime, kept, tampers, soundsOn}, false},
	})
	sampled := overMQTT
	sampled.Sampled = true
	holdsLaw(t, LawSampler, []lawCase{
		{"none", []any{signal.Sample{Volt: 12}}, true},
		{"one", []any{Resumed{}, sampled, signal.Sample{Volt: 12}}, false},
		{"one before", []any{Resumed{}, sampled, Resumed{}, overMQTT, signal.Sample{Volt: 12}}, true},
	})
}

func TestSignalsComeThroughAConnection(t *testing.T) {
	lost, gone := signal.Connection{Why: signal.Broken}, signal.Connection{Why: signal.ControllerGone}
	back, heard := signal.Connection{Up: true, Why: signal.BackAgain}, reported("z1", signal.Active)
	kept := heard
	kept.Kept = signal.Retained
	const surely, soon = 5 * time.Second, 15 * time.Second
	later := []any{soon + 1, noted()}
	holdsLaw(t, LawHeardConnected, []lawCase{
		{"connected", story([]any{heard}, later), false},
		{"lost", story([]any{lost, surely + 1, heard}, later), true},
		{"on its way", story([]any{lost, surely, heard}, later), false},
		{"back soon", []any{lost, surely + 1, heard, soon, back, time.Hour, noted()}, false},
		{"back later", []any{lost, surely + 1, heard, soon + 1, back}, true},
		{"nothing known yet", []any{lost, surely + 1, heard, soon, noted()}, false},
		{"kept", story([]any{lost, surely + 1, kept}, later), false},
		{"of a stranger", story([]any{lost, surely + 1, reported("z9", signal.Active)}, later), false},
		{"the controller is gone", story([]any{gone, surely + 1, heard}, later), false},
		{"lost, and gone then", story([]any{lost, time.Second, gone, surely, heard}, later), true},
		{"lost twice", story([]any{lost, surely, lost, time.Second, heard}, later), true},
		{"back again", story([]any{lost, back, surely + 1, heard}, later), false},
		{"another run", story([]any{lost, time.Minute, Resumed{}, overMQTT, time.Minute, heard}, later), false},
	})
	r := recordOf(t, lost, time.Minute, heard, heard, time.Hour, noted())
	assert.Equal(t, []int{5, 6}, brokenBy(r, LawHeardConnected))
}

func TestNobodyIsToldToOperateUnheard(t *testing.T) {
	lost, gone := signal.Connection{Why: signal.Broken}, signal.Connection{Why: signal.ControllerGone}
	back, cue := signal.Connection{Up: true}, Cue{Step: "walk/1.1", Half: Operate}
	const surely = 5 * time.Second
	holdsLaw(t, LawCueConnected, []lawCase{
		{"connected", []any{time.Hour, cue}, false},
		{"lost", []any{lost, surely + 1, cue}, true},
		{"in the same moment", []any{lost, surely, cue}, false},
		{"gone", []any{time.Minute, gone, surely + 1, cue}, true},
		{"back", []any{lost, time.Minute, back, cue}, false},
		{"a restart", []any{lost, time.Minute, Cue{Step: programme.IDRestart, Half: Operate}}, false},
		{"a chime", []any{lost, time.Minute, Cue{Step: chimeStep, Half: Operate}}, true},
		{"another run", []any{lost, time.Minute, Resumed{}, overMQTT, time.Minute, cue}, false},
		{"lost again meanwhile", []any{lost, surely, lost, time.Second, cue}, true},
	})
}

// A connection that is lost just before every cue and back just before the next.
func TestAConnectionIsNotLostAtEveryCue(t *testing.T) {
	cue := Cue{Step: "walk/1.1", Half: Operate}
	end := Ended{Step: "walk/1.1", By: ByAgain}
	flap := func(n int, why signal.Change) (facts []any) {
		for range n {
			facts = append(facts, time.Second, signal.Connection{Why: why}, time.Microsecond, cue, time.Second, end,
				signal.Connection{Up: true})
		}
		return facts
	}
	well := func(n int) (facts []any) {
		for range n {
			facts = append(facts, time.Second, cue, time.Second, end)
		}
		return facts
	}
	for _, why := range []signal.Change{signal.Broken, signal.ControllerGone} {
		holdsLaw(t, LawLostAtCues, []lawCase{
			{"twice", flap(2, why), false},
			{"three times", flap(3, why), true},
			{"three of thirty", story(flap(3, why), well(27)), false},
			{"three of twenty-nine", story(flap(3, why), well(26)), true},
			{"three times in as many runs", story(flap(1, why), []any{Resumed{}, overMQTT}, flap(1, why),
				[]any{Resumed{}, overMQTT}, flap(1, why)), true},
			{"behind the cue", story(well(3), []any{signal.Connection{Why: why}}), false},
		})
	}
	restart := Cue{Step: programme.IDRestart, Half: Operate}
	holdsLaw(t, LawLostAtCues, []lawCase{{"restarts", []any{signal.Connection{Why: signal.Broken}, restart,
		Ended{
			Step: programme.IDRestart,
			By:   ByAgain,
		}, restart, Ended{Step: programme.IDRestart, By: ByAgain}, restart}, false}})
}

// What came while one detector was operated, and is written behind the cue of the next.
func TestWhatCameBeforeACueStandsBeforeIt(t *testing.T) {
	crossed, end := reported("z2", signal.Active), Ended{Step: "walk/1.1", By: ByAgain}
	first, next := Cue{Step: "walk/1.1", Half: Operate}, Cue{Step: "walk/2.1", Half: Operate}
	before := []any{time.Minute, first, time.Second, end, 3 * time.Second, next}
	late := func(by time.Duration, s signal.Signal) []any { return story(before, []any{-by, s}) }
	kept := crossed
	kept.Kept = signal.Retained
	holdsLaw(t, LawToldInTurn, []lawCase{
		{"a second before", late(time.Second, crossed), false},
		{"longer", late(time.Second+1, crossed), true},
		{"within the trial before", late(3500*time.Millisecond, crossed), true},
		{"kept", late(3500*time.Millisecond, kept), false},
		{
			"before the cue is written",
			[]any{time.Minute, first, time.Second, end, -time.Second, crossed, 9 * time.Second, next},
			false,
		},
		{"behind a cue of before", []any{time.Minute, first, time.Second, end, 3 * time.Second,
			Cue{Step: "walk/2.1", Half: Operate, BeforeNS: int64(3 * time.Second)}, -3 * time.Second, crossed}, false},
		{"in another run", story(before, []any{-time.Minute, Resumed{}, overMQTT, crossed}), false},
		{
			"by keys",
			[]any{byKeys, time.Minute, first, time.Second, end, 3 * time.Second, next, -2 * time.Second, crossed},
			false,
		},
	})
}
