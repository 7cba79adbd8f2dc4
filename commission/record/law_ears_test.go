package record

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

func TestLawsOfEars(t *testing.T) {
	with := func(change func(*signal.Listening), facts ...any) []any {
		l := twoEars()
		change(&l)
		return story([]any{Resumed{}, l}, facts)
	}
	and := func(facts ...any) []any { return with(func(*signal.Listening) {}, facts...) }
	holdsLaw(t, LawEars, []lawCase{
		{"by an ear", and(by(signal.OverMQTT, "z1", signal.Active)), false},
		{"of an address of the other", and(by(signal.OverMQTT, "z3", signal.Active)), false},
		{"by none", and(by("", "z1", signal.Active)), true},
		{"by one that there is not", and(by(signal.OverHook, "z1", signal.Active)), true},
		{"by one, where there is one source", []any{by(signal.OverMQTT, "z1", signal.Active)}, true},
		{"a loss", and(lost(signal.OverMQTT)), false},
		{"a loss of none", and(lost("")), true},
		{"told by its ear", and(signal.System{Aspect: signal.Set, Ear: signal.OverMQTT}), false},
		{"told by the other", and(signal.System{Aspect: signal.Set, Ear: signal.ByPolling}), true},
	})
	holdsLaw(t, LawWay, []lawCase{
		{"two", and(), false},
		{"simulated together", with(func(l *signal.Listening) { l.Simulated = true }), true},
		{"telling what none tells", with(func(l *signal.Listening) { l.Tells = signal.Aspects }), true},
		{"by hand together", with(func(l *signal.Listening) { l.TimedBy = signal.ByHand }), true},
		{"keys among them", with(func(l *signal.Listening) { l.Ears[0] = byKeys }), true},
		{"one that is simulated", with(func(l *signal.Listening) { l.Ears[0] = inNoTime }), true},
		{"a poll that never asks", with(func(l *signal.Listening) { l.Ears[1].AskedNS = 0 }), true},
	})
	holdsLaw(t, LawUncertainty, []lawCase{
		{"two", and(), false},
		{"better together", with(func(l *signal.Listening) { l.UncertaintyNS = 5e7 }), true},
		{"one better", with(func(l *signal.Listening) { l.Ears[0].UncertaintyNS = 1 }), true},
	})
	cue := Cue{Step: "walk/1.1", Half: Operate}
	holdsLaw(t, LawCueConnected, []lawCase{
		{"the other is lost", and(lost(signal.ByPolling), 10*time.Second, cue), false},
		{"its own is lost", and(lost(signal.OverMQTT), 10*time.Second, cue), true},
	})
	holdsLaw(t, LawHeardConnected, []lawCase{
		{"through the other", and(lost(signal.ByPolling), 10*time.Second, by(signal.OverMQTT, "z1", signal.Active),
			20*time.Second, lost(signal.ByPolling), by(signal.OverMQTT, "z1", signal.Restored)), false},
		{"through its own", and(lost(signal.OverMQTT), 10*time.Second, by(signal.OverMQTT, "z1", signal.Active),
			20*time.Second, by(signal.ByPolling, "z3", signal.Restored)), true},
	})
	for name, change := range map[string]func(*signal.Listening){
		"one ear":            func(l *signal.Listening) { l.Ears = l.Ears[:1] },
		"twice the same":     func(l *signal.Listening) { l.Ears[1] = l.Ears[0] },
		"ears of ears":       func(l *signal.Listening) { l.Ears[1] = twoEars() },
		"ears of one source": func(l *signal.Listening) { l.Way = signal.OverMQTT },
	} {
		l := twoEars()
		change(&l)
		assert.Error(t, l.Check(), name)
	}
}
