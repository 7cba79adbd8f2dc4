package visit

import (
	"loopwitness/commission/ask"
	"loopwitness/commission/signal"
)

// What calls without being let in or understood, or of addresses that the site does not have, is told once in a run
// while something is awaited, what can be told of it again when its body cannot be taken, and counted in its end. Over a broker, which may tell of a whole house, nobody is told.

// callsTold tells, once, that calls come which are not for this visit.
func (v *Visit) callsTold(say func(ask.Notice)) {
	n := v.callsRefused()
	if !v.told.calls && (n.Any() || n.Strangers > 0) || !v.told.bodies && n.Bodies > 0 {
		v.told.calls, v.told.bodies = true, n.Bodies > 0
		say(n)
	}
}

// callsInAll tells how many they were.
func (v *Visit) callsInAll() {
	v.mu.Lock()
	n := v.callsRefused()
	v.mu.Unlock()
	if n.InAll = true; n.Any() || n.Strangers > 0 {
		v.operator.Tell(n)
	}
}

// callsRefused is for who holds the lock.
func (v *Visit) callsRefused() (n ask.CallsRefused) {
	if source, is := v.source.(signal.Refusing); is {
		n.Refused = source.Refused()
	}
	n.Strangers = v.strangers
	return n
}

// countStranger counts a signal of an address that no zone has, if it came by a call.
func (v *Visit) countStranger(s signal.Signal) {
	if v.source.About().Of(s.Ear).Way == signal.OverHook {
		v.strangers++
	}
}
