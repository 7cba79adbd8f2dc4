package visit

import (
	"loopwitness/commission/ask"
	"loopwitness/commission/signal"
)

// Calls that are not let in, that nobody understands, or that are of addresses which the site does not have are told
// once in a run, while something is awaited; once more when the first comes that was let in and cannot be understood,
// or not whole; and all are counted in its end. Over a broker, which may tell of a whole house, nobody is told.

// callsTold tells of calls that do not count, or not whole.
func (v *Visit) callsTold(say func(ask.Notice)) {
	n := v.callsRefused()
	ununderstood := n.Bodies > 0 || n.Parts > 0
	if !v.told.calls && (n.Any() || n.Strangers > 0) || !v.told.bodies && ununderstood {
		v.told.calls, v.told.bodies = true, ununderstood
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
