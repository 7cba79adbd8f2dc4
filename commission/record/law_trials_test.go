package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// answersAfter is a half of an attempt at the door, which answers after a time.
func answersAfter(h Half, after time.Duration) []any {
	state := signal.Active
	if h == Restore {
		state = signal.Restored
	}
	return []any{time.Second, Cue{Step: "walk/1.1", Half: h}, after, reported("z1", state), 2 * time.Second,
		Ended{Step: "walk/1.1", By: ByTime}}
}

func TestNoAnswerComesAtOnce(t *testing.T) {
	const limit = 10 * time.Microsecond
	operated := answersAfter(Operate, time.Second)
	inverted := []any{Cue{Step: "walk/1.1", Half: Operate}, time.Duration(1), reported("z1", signal.Restored),
		15 * time.Second, Ended{Step: "walk/1.1", By: ByTime}}
	holdsLaw(t, LawNotAtOnce, []lawCase{
		{"in its time", operated, false},
		{"at once", answersAfter(Operate, 0), true},
		{"a nanosecond", answersAfter(Operate, 1), true},
		{"just short of it", answersAfter(Operate, limit-1), true},
		{"at the limit", answersAfter(Operate, limit), false},
		{"a restore", story(operated, answersAfter(Restore, limit-1)), true},
		{"a restore in its time", story(operated, answersAfter(Restore, limit)), false},
		{"a restore in simulated time", story([]any{inNoTime}, operated, answersAfter(Restore, 0)), false},
		{"an operation in simulated time", story([]any{inNoTime}, answersAfter(Operate, 0)), true},
		{"of another state", inverted, false},
		{"nothing", []any{Cue{Step: "walk/1.1", Half: Operate}}, false},
		{"before its cue", []any{reported("z1", signal.Active), Cue{Step: "walk/1.1", Half: Operate}}, false},
	})
	assert.Equal(t, []int{4}, brokenBy(recordOf(t, answersAfter(Operate, 1)...), LawNotAtOnce), "its cue is named")
}

func TestNotAllAnswersAreFast(t *testing.T) {
	const limit = 10 * time.Millisecond
	trials := func(quick, slow int, fastest time.Duration) (facts []any) {
		for range quick {
			facts = append(facts, answersAfter(Operate, fastest)...)
			facts = append(facts, answersAfter(Restore, time.Second)...)
		}
		for range slow {
			facts = append(facts, answersAfter(Operate, time.Second)...)
			facts = append(facts, answersAfter(Restore, time.Millisecond)...)
		}
		return facts
	}
	silent := []any{Cue{Step: "walk/2.1", Half: Operate}, 15 * time.Second, Ended{Step: "walk/2.1", By: ByTime}}
	for range 20 {
		silent = append(silent, silent[:3]...)
	}
	holdsLaw(t, LawNotAllFast, []lawCase{
		{"two", trials(2, 0, time.Millisecond), false},
		{"three", trials(3, 0, time.Millisecond), true},
		{"at the limit", trials(5, 0, limit), false},
		{"just short of it", trials(3, 0, limit-1), true},
		{"one in ten", trials(3, 27, time.Millisecond), false},
		{"more", trials(3, 26, time.Millisecond), true},
		{"silent ones do not count", story(silent, trials(3, 26, time.Millisecond)), true},
	})
}

func TestAPersonNeedsTime(t *testing.T) {
	const soonest = 100 * time.Millisecond
	chime, door := Cue{Step: chimeStep, Half: Operate}, Cue{Step: "walk/1.1", Half: Operate}
	heard := Ended{Step: chimeStep, By: ByHeard}
	keys := func(f ...any) []any { return story([]any{Resumed{}, byKeys, time.Second}, f) }
	holdsLaw(t, LawPerson, []lawCase{
		{"heard", []any{chime, soonest, heard}, false},
		{"heard too soon", []any{chime, soonest - 1, heard}, true},
		{"at once", []any{chime, heard}, true},
		{"given up at once", []any{chime, Ended{Step: chimeStep, By: BySilent}}, false},
		{"a key", keys(door, soonest, reported("z1", signal.Active)), false},
		{"a key too soon", keys(door, soonest-1, reported("z1", signal.Active)), true},
		{"a message", []any{door, soonest - 1, reported("z1", signal.Active)}, false},
		{"a key without a trial", keys(reported("z1", signal.Active)), false},
		{"a key after a restart", keys(Cue{Step: programme.IDRestart, Half: Operate}, reported("z1", signal.Active)), false},
	})
	restart := func(after time.Duration, by End) []any {
		return []any{Cue{Step: programme.IDRestart, Half: Operate}, after, reported("z1", signal.Restored),
			Ended{Step: programme.IDRestart, By: by}}
	}
	holdsLaw(t, LawRestarts, []lawCase{
		{"in its time", restart(30*time.Second, ByTime), false},
		{"as soon as may be", restart(soonest, ByTime), false},
		{"sooner", restart(soonest-1, ByTime), true},
		{"at once", restart(0, ByTime), true},
		{"given up", restart(0, BySilent), false},
		{
			"nothing",
			[]any{Cue{Step: programme.IDRestart, Half: Operate}, Ended{Step: programme.IDRestart, By: ByTime}},
			false,
		},
		{"a door", answersAfter(Operate, 0), false},
	})
}

func TestAChimeFollowsItsZone(t *testing.T) {
	const soon = 15 * time.Second
	proved := story([]any{time.Second}, tried("walk/1.1", "z1"), []any{time.Minute})
	opens := reported("z1", signal.Active)
	chime := func(facts ...any) []any { return story(proved, facts, []any{time.Minute, noted()}) }
	cue, heard := Cue{Step: chimeStep, Half: Operate}, Ended{Step: chimeStep, By: ByHeard}
	kept := opens
	kept.Kept = signal.Retained
	holdsLaw(t, LawChimeFollows, []lawCase{
		{"follows", chime(cue, time.Second, opens, time.Second, heard), false},
		{"alone", chime(cue, 2*time.Second, heard), true},
		{"nothing since", story(proved, []any{cue, 2 * time.Second, heard}), false}, // it may come still
		{"soon after", chime(cue, time.Second, heard, soon, opens), false},
		{"too late", chime(cue, time.Second, heard, soon+1, opens), true},
		{
			"another zone",
			chime(cue, time.Second, reported("z2", signal.Active), heard, reported("z2", signal.Restored)),
			true,
		},
		{"kept", chime(cue, kept, time.Second, heard, kept), true},
		{"soon before", chime(opens, reported("z1", signal.Restored), soon-1, cue, time.Second, heard), false},
		{"long before", chime(opens, reported("z1", signal.Restored), soon, cue, time.Second, heard), true},
		{"kept before", chime(reported("z1", signal.Restored), soon, kept, Cue{Step: chimeStep, Half: Operate}), false},
		{"open already", chime(opens, time.Hour, cue, time.Second, heard), false},
		{"not heard", chime(cue, time.Second, Ended{Step: chimeStep, By: BySilent}), false},
		{"by keys", story(proved, []any{Resumed{}, byKeys, cue, time.Second, heard, time.Minute, noted()}), false},
		{"lost then", chime(cue, time.Second, heard, signal.Connection{Why: signal.Broken}), false},
		{"signals lost then", chime(cue, time.Second, heard, signal.Overrun{Lost: 1}), false},
		{"signals lost before", chime(signal.Overrun{Lost: 1}, time.Second, cue, time.Second, heard), false},
		{"absent then", chime(cue, time.Second, heard, time.Second, Absent{LastedNS: 1}), false},
		{"broken off then", chime(cue, time.Second, heard, Resumed{}, overMQTT), false},
		{"a zone that never reports", []any{time.Second, cue, time.Second, heard, time.Minute, noted()}, false},
		{"one that was late", story([]any{time.Second}, answersAfter(Operate, 9*time.Second),
			answersAfter(Restore, time.Second), []any{cue, time.Second, heard, time.Minute, noted()}), false},
	})
	r := recordOf(t, chime(cue, 2*time.Second, heard, cue, time.Second, heard)...)
	assert.Len(t, brokenBy(r, LawChimeFollows), 2)
}

// A forged journal in which thousands of chimes are heard in one instant is folded in no
// time: each entry looks at what may follow still.
func TestFewChimesAreWaitedFor(t *testing.T) {
	var facts []any
	for range mostUnheard + 1 {
		facts = append(facts, Cue{Step: chimeStep, Half: Operate}, Ended{Step: chimeStep, By: ByHeard})
	}
	assert.Len(t, recordOf(t, facts...).memory.unheard, mostUnheard)
}

func TestWhoOperatesIsReady(t *testing.T) {
	operate, restore := Cue{Step: "walk/1.1", Half: Operate}, Cue{Step: "walk/1.1", Half: Restore}
	late := operate
	late.BeforeNS = 1
	again := Ended{Step: "walk/1.1", By: ByAgain}
	holdsLaw(t, LawReady, []lawCase{
		{"ready", []any{time.Second, noted(), time.Duration(1), operate}, false},
		{"in the same instant", []any{time.Second, noted(), operate}, true},
		{"behind a signal", []any{time.Second, reported("z2", signal.Active), operate}, false},
		{"given out of reach", []any{time.Second, noted(), late}, false},
		{"a restore", []any{time.Second, operate, again, restore}, false},
		{"in simulated time", []any{inNoTime, time.Second, noted(), operate}, false},
		{"another run", []any{Resumed{}, overMQTT, operate}, true}, // its clock begins with its first entry
	})
}

func TestAWaitEndsWhenItsTimeIsUp(t *testing.T) {
	r := recordOf(t)
	limits := r.Site().Limits
	door, chime, restart := Cue{Step: "walk/1.1", Half: Operate}, Cue{Step: chimeStep, Half: Operate},
		Cue{Step: programme.IDRestart, Half: Operate}
	ends := func(c Cue) Ended { return Ended{Step: c.Step, By: ByTime} }
	listen, starts := limits.ListenFor["door"].Duration(), 2*limits.ColdRestart.Duration()
	opens := reported("z1", signal.Active)
	holdsLaw(t, LawWaits, []lawCase{
		{"silent", []any{door, listen, ends(door)}, false},
		{"too soon", []any{door, listen - 1, ends(door)}, true},
		{"by a key", []any{door, time.Second, Ended{Step: "walk/1.1", By: BySilent}}, false},
		{"proved", []any{door, time.Second, opens, time.Second, ends(door)}, false},
		{"put off in the last moment", []any{door, time.Second, opens, ends(door)}, false},
		{"a chime", []any{chime, listen, ends(chime)}, false},
		{"a chime too soon", []any{chime, listen - 1, ends(chime)}, true},
		{"a chime that was opened", []any{chime, time.Second, opens, time.Second, ends(chime)}, true},
		{"a restart", []any{restart, starts, ends(restart)}, false},
		{"a restart too soon", []any{restart, starts - 1, ends(restart)}, true},
		{"a restart that reported", []any{restart, time.Minute, opens, ends(restart)}, false},
		{"the end of nothing", []any{ends(door)}, false},
	})
}

// A wait that was put off half a minute ago was put off while its end was being written.
func TestHowLateAWaitIsPutOff(t *testing.T) {
	change := mended(t, "hold: 60 s}", "hold: 60 s}\nlimits: {listen_for: 120 s}")
	opened := Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: change.Site,
		Programme: change.Programme}
	for since, want := range map[time.Duration]bool{30 * time.Second: false, 30*time.Second + 1: true} {
		r, err := told(t, opened, Cue{Step: "walk/1.1", Half: Operate}, time.Second,
			signal.Signal{Address: "z9", State: signal.Active}, reported("z2", signal.Trouble), since,
			Ended{Step: "walk/1.1", By: ByTime})
		assert.NoError(t, err)
		assert.Equal(t, want, len(brokenBy(r, LawWaits)) > 0, since)
	}
}

func TestNoWatchIsLateForLongerThanItLasts(t *testing.T) {
	cue := Cue{Step: "walk/1.1", Half: Operate}
	late := func(by time.Duration, end End) Ended {
		return Ended{Step: "walk/1.1", By: end, LateNS: by.Nanoseconds()}
	}
	const ms = time.Millisecond
	holdsLaw(t, LawLateness, []lawCase{
		{"as long", []any{cue, 20 * ms, late(20*ms, ByTime)}, false},
		{"longer", []any{cue, 20 * ms, late(20*ms+1, ByTime)}, true},
		{"a key from before", []any{cue, 20 * ms, late(20*ms+1, BySilent)}, false},
		{"of nothing", []any{late(20*ms, ByTime)}, false},
	})
}
