package ears

import (
	"context"

	"loopwitness/commission/signal"
)

// marked is a receiver that is told what one ear hears. It takes what the receiver takes that it tells,
// and what that does not take is dropped.
func marked(to signal.Receiver, way signal.Way) signal.Receiver {
	m := marker{to, way}
	if keeper, is := to.(signal.Keeper); is {
		return keeping{m, keeper}
	}
	return m
}

type marker struct {
	to  signal.Receiver
	way signal.Way
}

// Signal marks whose it is.
func (m marker) Signal(s signal.Signal) {
	s.Ear = m.way
	m.to.Signal(s)
}

// Connection marks whose it is.
func (m marker) Connection(c signal.Connection) {
	c.Ear = m.way
	m.to.Connection(c)
}

// System marks whose it is.
func (m marker) System(s signal.System) {
	if to, takes := m.to.(signal.SystemReceiver); takes {
		s.Ear = m.way
		to.System(s)
	}
}

// Sample is that of the one ear that samples.
func (m marker) Sample(s signal.Sample) {
	if to, takes := m.to.(signal.Sampler); takes {
		to.Sample(s)
	}
}

// keeping is a marker of a receiver that tells when what it was given is durable.
type keeping struct {
	marker
	keeper signal.Keeper
}

// Kept waits for what every ear has delivered.
func (k keeping) Kept() (wait func(context.Context) error, err error) { return k.keeper.Kept() }
