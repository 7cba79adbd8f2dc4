package record

import (
	"errors"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// lawCase is a story, and whether it breaks the law of its table.
type lawCase struct {
	name   string
	facts  []any
	breaks bool
}

// holdsLaw tells stories and holds which of them break a law, by a limitation or a refusal.
func holdsLaw(t *testing.T, law Law, cases []lawCase) {
	t.Helper()
	for _, c := range cases {
		r, err := told(t, openedHonestly(t, asItIs), c.facts...)
		var refused *Refusal
		if errors.As(err, &refused) {
			assert.Equal(t, []any{true, law}, []any{c.breaks, refused.Law}, c.name)
			continue
		}
		require.NoError(t, err, c.name)
		assert.Equal(t, c.breaks, len(brokenBy(r, law)) > 0, "%s: %s", law, c.name)
	}
}

// brokenBy are the entries that break a law.
func brokenBy(r *Record, law Law) []int {
	for _, b := range r.Breaches() {
		if b.Law == law {
			return b.Entries
		}
	}
	return nil
}

var (
	inNoTime = signal.Listening{
		Way:           signal.Simulated,
		TimedBy:       signal.BySimulatedTime,
		UncertaintyNS: 5e7,
		Simulated:     true,
	}
	byKeys   = signal.Listening{Way: signal.ByWatching, TimedBy: signal.ByHand, UncertaintyNS: 25e7, ByHand: true}
	overMQTT = signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7}
)

func noted() Note { return Note{Step: "walk/1.1", Text: "stiff"} }

func reported(address string, state signal.State) signal.Signal {
	return signal.Signal{Address: address, State: state}
}

func TestARunBeginsAtZero(t *testing.T) {
	for since, want := range map[time.Duration]bool{0: false, 1: true, -1: true} {
		r := recordOf(t, time.Minute, noted())
		e := r.entries + 1
		err := r.Take(entryOf(t, e, 2, at(time.Hour), since, Resumed{}))
		var refused *Refusal
		assert.Equal(t, want, errors.As(err, &refused), since)
		if want {
			assert.Equal(t, LawRunBegins, refused.Law)
			assert.ErrorIs(t, err, ErrNoSense)
			assert.ErrorContains(t, err, "run-begins-its-clock")
		}
		first := entryOf(t, 1, 1, at(0), since, openedHonestly(t, asItIs))
		assert.Equal(t, want, errors.As((&Record{}).Take(first), &refused), since)
	}
	assert.EqualError(t, &Refusal{LawRunBegins, "why"}, "the journal makes no sense: why")
}

func TestHandsRise(t *testing.T) {
	at10, note, heard := 10*time.Second, noted(), reported("z1", signal.Active)
	holdsLaw(t, LawHandsRise, []lawCase{
		{"in order", []any{at10, note, time.Duration(1), note}, false},
		{"at once", []any{at10, note, note}, false},
		{"a nanosecond back", []any{at10, note, time.Duration(-1), note}, true},
		{"behind a signal that came later", []any{at10, heard, -time.Second, note}, false},
		{"a signal behind a note", []any{at10, note, -time.Second, heard}, false},
		{"back, and back again", []any{at10, note, -time.Second, heard, -time.Second, note}, true},
		{"another run", []any{at10, note, -5 * time.Second, Resumed{}, overMQTT, note}, false},
	})
}

func TestNothingWaitsForLong(t *testing.T) {
	heard, note := reported("z1", signal.Active), noted()
	cue, end := Cue{Step: "walk/1.1", Half: Operate}, Ended{Step: "walk/1.1", By: ByAgain}
	holdsLaw(t, LawNotLong, []lawCase{
		{"in order", []any{time.Minute, note, heard}, false},
		{"30 s", []any{time.Minute, note, -30 * time.Second, heard}, false},
		{"a nanosecond longer", []any{time.Minute, note, -30*time.Second - 1, heard}, true},
		{"behind the latest of all", []any{time.Minute, note, -20 * time.Second, heard, -20 * time.Second, heard}, true},
		{"a key of a trial", []any{time.Minute, cue, time.Minute, heard, -time.Minute, end}, false},
		{"a key before its cue", []any{time.Minute, cue, -time.Duration(1), end}, true},
		{"an end of nothing", []any{time.Minute, note, -time.Minute, end}, false},
		{"a key that is a signal", []any{byKeys, time.Minute, cue, time.Minute, note, -time.Minute, heard}, false},
		{"one from before", []any{byKeys, time.Minute, cue, -time.Duration(1), heard}, true},
		{"another run", []any{time.Minute, note, -time.Minute, Resumed{}, overMQTT}, false},
	})
}

func TestTimePasses(t *testing.T) {
	times := func(n int, more ...any) (facts []any) {
		for range n {
			facts = append(facts, noted())
		}
		return append(facts, more...)
	}
	tick, second := []any{time.Duration(1)}, []any{time.Second}
	signals := []any{reported("z1", signal.Active), reported("z1", signal.Active)}
	holdsLaw(t, LawTimePasses, []lawCase{
		{"as many as may be", story(second, times(40)), false},
		{"one more", story(second, times(41)), true},
		{"between them a nanosecond", story(second, times(40), tick, times(40)), false},
		{"and too many then", story(second, times(40), tick, times(41)), true},
		{"signals do not count", story(second, times(39), signals, times(1)), false},
		{"at the beginning", times(39), false}, // the first entry is one of them
		{"too many at the beginning", times(40), true},
		{"in simulated time", story([]any{inNoTime}, second, times(60)), false},
		{"another run", story(times(30), []any{Resumed{}, overMQTT}, times(40)), false},
		{"too many in another run", story(times(30), []any{Resumed{}, overMQTT}, times(41)), true},
	})
}

func TestRunsFollow(t *testing.T) {
	back := func(by time.Duration) []any { return []any{time.Hour, noted(), -by, Resumed{}, overMQTT} }
	holdsLaw(t, LawRunsFollow, []lawCase{
		{"later", back(-time.Hour), false},
		{"2 s before", back(2 * time.Second), false},
		{"more", back(2*time.Second + 1), true},
		{"in simulated time", story([]any{inNoTime}, back(time.Hour)), false},
		{"back within a run", []any{time.Hour, noted(), -time.Minute, noted()}, false},
		{"set back, and told", rested(-time.Hour, time.Hour), false},
		{"set back more than is told", rested(-time.Hour, time.Hour-1), true},
		{"set back less than is told", rested(-time.Hour, time.Hour+1), true},
		{"told, and not set back", rested(time.Hour, time.Hour), true},
		{"told to be set back by less than nothing", rested(time.Hour, -time.Hour), true},
		{"a tick", rested(-1, 1), false},
	})
}

// rested is a run that begins so long after the one before, and what it says of the clock.
func rested(after, back time.Duration) []any {
	return []any{3 * time.Hour, noted(), after, Resumed{AfterRest: AfterRest{int64(back)}}, overMQTT}
}

// What is known of a clock that was set back while nothing ran is a step of it.
func TestAClockSetBackBetweenRuns(t *testing.T) {
	r := recordOf(t, time.Hour, noted())
	assert.Equal(t, AfterRest{}, r.SetBack(at(time.Hour-100*time.Millisecond)))
	back := r.SetBack(at(59 * time.Minute))
	assert.Equal(t, AfterRest{int64(time.Minute)}, back)
	assert.Equal(t, AfterRest{}, recordOf(t, inNoTime, time.Hour, noted()).SetBack(at(0)), "simulated times begin anew")

	require.NoError(t, r.Take(entryOf(t, r.Entries()+1, 2, at(59*time.Minute), 0, Resumed{AfterRest: back})))
	assert.Equal(t, []ClockStep{{At: at(59 * time.Minute), By: -time.Minute, AtLeast: true}}, r.ClockSteps())
	for _, f := range []Fact{Photographed{}, Discarded{}, Corrected{}, TakenBack{}} {
		assert.Equal(t, time.Minute, setBackBy(RestedUntil(f, back)), f.Kind())
	}
	assert.Equal(t, noted(), RestedUntil(noted(), back))
	for told, breaks := range map[AfterRest]bool{back: false, {}: true} {
		r := recordOf(t, time.Hour, noted())
		discarded := Discarded{Reason: "begun by mistake", AfterRest: told}
		require.NoError(t, r.Take(entryOf(t, r.Entries()+1, 2, at(59*time.Minute), 0, discarded)))
		assert.Equal(t, breaks, len(brokenBy(r, LawRunsFollow)) > 0, "between runs: %v", told)
	}
}

func TestAVisitEndsAfterItBegan(t *testing.T) {
	back := func(by time.Duration) []any { return []any{-by, Resumed{}, overMQTT} }
	holdsLaw(t, LawEndsAfter, []lawCase{
		{"at once", nil, false},
		{"2 s before", back(2 * time.Second), false},
		{"more", back(2*time.Second + 1), true},
		{"by a clock that was set back", story([]any{ClockStepped{ByNS: -int64(time.Hour)}}, back(time.Hour)), false},
		{"by more than it was", story([]any{ClockStepped{ByNS: -int64(time.Hour)}}, back(time.Hour+2*time.Second+1)), true},
		{"by a clock that was set back while nothing ran", []any{time.Minute, noted(), -time.Hour,
			Resumed{AfterRest: AfterRest{int64(time.Hour)}}, overMQTT}, false},
		{"by a clock that was set forward", story([]any{ClockStepped{ByNS: int64(time.Hour)}}, back(time.Hour)), true},
		{"in simulated time", story([]any{inNoTime}, back(time.Hour)), false},
	})
	r := recordOf(t, back(time.Hour)...)
	assert.Equal(t, []int{r.Entries()}, brokenBy(r, LawEndsAfter))
}

func TestNothingIsReadBeforeItIsDue(t *testing.T) {
	const id = "supply/standby-2"
	due := recordOf(t).Find(id).Step().After()
	require.Greater(t, due, 4*time.Second)
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	read := Reading{Step: id, Quantity: VoltageReading, Value: 12.6, Unit: "V", AsTyped: "12.6 V"}
	charging := read
	charging.Step = programme.IDCharging
	again := recordOf(t).Find(programme.IDCharging).Step().After()
	away := func(d time.Duration) Absent { return Absent{LastedNS: d.Nanoseconds()} }
	holdsLaw(t, LawDue, []lawCase{
		{"when it is", []any{off, due, read}, false},
		{"2 s before", []any{off, due - 2*time.Second, read}, false},
		{"more", []any{off, due - 2*time.Second - 1, read}, true},
		{"at once", []any{off, read}, true},
		{"without mains having been removed", []any{read}, false},
		{"unwatched", []any{off, due, away(3 * time.Second), read}, true},
		{"watched enough", []any{off, due + time.Second, away(3 * time.Second), read}, false},
		{"over a break", []any{off, due - time.Second, noted(), time.Hour, Resumed{}, overMQTT, time.Second, read}, false},
		{"of which nobody watched", []any{off, time.Second, noted(), time.Hour, Resumed{}, overMQTT, read}, true},
		{"charging", []any{off, on, again, charging}, false},
		{"charging too soon", []any{off, time.Hour, on, again - 3*time.Second, charging}, true},
		{"left out", []any{off, answer(id, LeftOut)}, false},
	})
}

func TestMainsIsRemovedAndPutBackInTurn(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	left := answer(programme.IDMainsOff, LeftOut)
	reading := func(id string) Reading {
		return Reading{Step: id, Quantity: VoltageReading, Value: 12.6, Unit: "V", AsTyped: "12.6 V"}
	}
	battery := []any{answer(programme.IDBatteryOff, LeftOut), answer(programme.IDBatteryOn, LeftOut)}
	cases := []lawCase{
		{"in turn", []any{off, reading("supply/standby-1"), on, reading(programme.IDMainsBack)}, false},
		{"with mains", []any{reading(programme.IDMainsPresent)}, false},
		{"back before it was removed", []any{on}, true},
		{"not removed", []any{left, reading("supply/standby-1"), on}, false},
		{"read before", []any{reading("supply/standby-1")}, true},
		{"read back before it was", []any{off, reading(programme.IDMainsBack)}, true},
		{"said once more", []any{off, off}, false},
		{"left out before", []any{answer(programme.IDMainsOn, LeftOut)}, false},
		{"path asked before", []any{answer(programme.IDPath, Yes)}, false},
		{"taken first", []any{Entered{Stage: programme.StageSupply, Step: "supply/standby-1"},
			reading("supply/standby-1")}, false},
		{"a detector", tried("supply/proof-1.1", "z1"), false},
	}
	for i := range cases {
		cases[i].facts = slices.Concat(battery, cases[i].facts)
	}
	holdsLaw(t, LawMainsInTurn, cases)
}

// concluded answers all steps before the names.
func concluded(t *testing.T) (facts []any) {
	t.Helper()
	for _, step := range openedHonestly(t, asItIs).Programme {
		if step.Stage != programme.StageSignOff {
			facts = append(facts, answer(step.ID, LeftOut))
		}
	}
	return facts
}

func named(id string, role programme.Role) Signed { return Signed{Step: id, Role: role, Name: "Bea"} }

func TestNamesStandUnderWhatWasDone(t *testing.T) {
	all := concluded(t)
	technician, customer := named(programme.IDTechnician, programme.Technician),
		named(programme.IDCustomer, programme.Customer)
	holdsLaw(t, LawSignedLast, []lawCase{
		{"last", story(all, []any{technician, customer}), false},
		{"one step open", story(all[1:], []any{technician}), true},
		{"the customer with a step open", story(all, []any{technician, Reopened{Step: "walk/1.1"}, customer}), true},
		{"the customer first", story(all, []any{customer}), false}, // see LawSignedInTurn
		{
			"the customer again",
			story(all, []any{technician, customer, Reopened{Step: programme.IDCustomer}, customer}),
			false,
		},
		{"not at all", all, false},
	})
}

func TestNothingIsDoneBehindTheEnd(t *testing.T) {
	done := story(concluded(t), []any{named(programme.IDTechnician, programme.Technician),
		named(programme.IDCustomer, programme.Customer)})
	for _, f := range []Fact{noted(), answer("walk/1.1", LeftOut), Cue{Step: "walk/1.1", Half: Operate},
		Reopened{Step: "walk/1.1"}, Entered{Stage: programme.StageSupply}, PartAnswer{Step: "walk/1.1"}} {
		holdsLaw(t, LawNothingBehind, []lawCase{{"behind " + f.Kind(), story(done, []any{f}), true},
			{"before", story(done[:len(done)-1], []any{f}), false}})
	}
	for _, f := range []Fact{reported("z1", signal.Active), switched("Sounder", false), signal.Connection{Up: true},
		Absent{LastedNS: 1}, ClockStepped{ByNS: 1}, Paused{By: StopAsked}} {
		holdsLaw(t, LawNothingBehind, []lawCase{{"behind " + f.Kind(), story(done, []any{time.Second, f}), false}})
	}
}

// What an entry breaks is named, the first of many, and counted.
func TestBreachesNameTheirEntries(t *testing.T) {
	var facts []any
	for range mostOfBreach + 2 {
		facts = append(facts, overMQTT)
	}
	r := recordOf(t, facts...)
	all := r.Breaches()
	require.Len(t, all, 1)
	assert.Equal(t, Breach{LawListensOnce, []int{3, 4, 5, 6, 7, 8, 9, 10}, mostOfBreach + 2}, all[0])
	all[0].Entries[0] = 99
	assert.Equal(t, 3, r.Breaches()[0].Entries[0])
}

// Every law has a name of its own and a consequence.
func TestLaws(t *testing.T) {
	names, consequences := Laws()
	assert.Len(t, slices.Compact(slices.Sorted(slices.Values(names))), len(names))
	assert.Equal(t, len(names), len(consequences))
	for i, law := range names {
		assert.Contains(t, []Consequence{Refused, Limits}, consequences[i])
		assert.Equal(t, "law/"+string(law), law.Code())
	}
}
