package record

import (
	"testing"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// suppliesTold is a source that tells faults of the supply.
var suppliesTold = signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7,
	Tells: []signal.Aspect{signal.MainsFault, signal.BatteryFault}}

// Whether a fault was reported is said once there was one, and it is over.
func TestAFaultIsSeenOfACause(t *testing.T) {
	off, on := answer(programme.IDBatteryOff, Done), answer(programme.IDBatteryOn, Done)
	seen := answer(programme.IDBatteryFault, AtController)
	holdsLaw(t, LawFaultCause, []lawCase{
		{"disconnected and connected", []any{off, on, seen}, false},
		{"never disconnected", []any{seen}, true},
		{"disconnected still", []any{off, seen}, true},
		{"left out", []any{answer(programme.IDBatteryOff, LeftOut), seen}, true},
		{"taken back", []any{off, answer(programme.IDBatteryOff, LeftOut), on, seen}, true},
		{"of mains", []any{off, on, answer(programme.IDMainsFault, NotSeen)}, true},
		{"not tested", []any{answer(programme.IDBatteryFault, LeftOut)}, false},
	})
}

// Who answers, the controller or a person, is who can.
func TestWhoIsAskedOfAFault(t *testing.T) {
	off, on := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	as := func(r Result) Answer { return answer(programme.IDMainsFault, r) }
	paused := []any{noted(), time.Hour, Resumed{}, suppliesTold}
	holdsLaw(t, LawFaultAsked, []lawCase{
		{"a person, where nothing is told", []any{off, on, as(NotCleared)}, false},
		{"as told, where nothing is told", []any{off, on, as(AsTold)}, true},
		{"as told", append(paused, off, on, as(AsTold)), false},
		{"a person, where it is told", append(paused, off, on, as(AtCentre)), true},
		{"told from the middle on", append(append([]any{off}, paused...), on, as(AtCentre)), false},
		{"not tested", append(paused, off, on, as(LeftOut)), false},
	})
}

// Mains and battery are never off together.
func TestTheSystemKeepsPower(t *testing.T) {
	mains, back := answer(programme.IDMainsOff, Done), answer(programme.IDMainsOn, Done)
	battery, again := answer(programme.IDBatteryOff, Done), answer(programme.IDBatteryOn, Done)
	holdsLaw(t, LawBatteryInTurn, []lawCase{
		{"one after the other", []any{battery, again, mains, back}, false},
		{"mains while the battery is off", []any{battery, mains}, true},
		{"the battery while mains is off", []any{mains, battery}, true},
		{"the other way round", []any{mains, back, battery, again}, false},
		{"left out", []any{battery, answer(programme.IDMainsOff, LeftOut)}, false},
		{"a battery that was not disconnected", []any{answer(programme.IDBatteryOff, LeftOut), mains}, false},
		{"still off", []any{battery, answer(programme.IDBatteryOn, LeftOut), mains}, true},
	})
}
