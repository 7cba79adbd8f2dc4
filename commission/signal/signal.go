// Package signal is what a controller reports, and what a source of such reports
// has to be. Its types are facts of a journal, too.
package signal

import (
	"context"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/site"
)

// State is what the controller says of an address.
type State string

// The states of an address. Unknown stands for none reported yet; NotUnderstood
// for a report whose payload no rule of controller.yaml matches.
const (
	Unknown       State = ""
	Active        State = "active"
	Restored      State = "restored"
	Tamper        State = "tamper"
	Trouble       State = "trouble"
	NotUnderstood State = "not understood"
)

// Signal is what the controller reported of an address, stamped the moment it
// arrived.
type Signal struct {
	// At is the instant of arrival, with its monotonic reading; in a journal it is
	// the time of the entry.
	At      time.Time `json:"-"`
	Address string    `json:"address"`
	State   State     `json:"state"`
	// Kept says why the signal tells an old state and is no response. Empty when live.
	Kept string `json:"kept,omitempty"`
	Raw  string `json:"raw,omitempty"` // the payload or key, shortened
	Ear  Way    `json:"ear,omitempty"` // that heard it, where there are several
	// TookNS is how long it took to come, where that was long: what it tells was so before.
	TookNS int64 `json:"took_nanosecond,omitempty"`
}

// LongestTaking is more than any signal takes to come.
const LongestTaking = time.Minute

// The reasons why a signal tells an old state.
const (
	Retained = "retained" // by the broker, or as the first answer to a poll says
	Repeated = "repeated" // after reconnecting, or by a sender that sends again
	// Again is a delivery that was kept before, by its own id: it may be late, so that it tells no state.
	Again = "again"
)

// kept are the values of Kept.
var kept = []string{"", Retained, Repeated, Again}

// Check tells whether a state or reason is none that is known.
func (s Signal) Check() error {
	if !slices.Contains([]State{Active, Restored, Tamper, Trouble, NotUnderstood}, s.State) ||
		!slices.Contains(kept, s.Kept) {
		return fmt.Errorf("signal: state %q, kept %q", s.State, s.Kept)
	}
	if s.TookNS < 0 || s.TookNS > LongestTaking.Nanoseconds() {
		return fmt.Errorf("signal: took %d ns to come", s.TookNS)
	}
	return nil
}

// Listening tells how signals are received from here on. UncertaintyNS is that
// of a response time, expanded (k = 2), in nanoseconds.
type Listening struct {
	Way           Way    `json:"way"`
	TimedBy       Timing `json:"timed_by"`
	UncertaintyNS int64  `json:"uncertainty_nanosecond"`
	Simulated     bool   `json:"simulated,omitempty"` // it is practice, over whatever way
	ByHand        bool   `json:"by_hand,omitempty"`   // the technician's keys are the signals
	Sampled       bool   `json:"sampled,omitempty"`   // the controller tells the voltage of its supply
	// Tells are the aspects of itself that the controller tells.
	Tells []Aspect `json:"tells,omitempty"`
	// AskedNS is for ByPolling the longest time between the question before and an answer, in
	// nanoseconds: by so much, at most, a report is late. It is part of UncertaintyNS. Else 0.
	AskedNS int64 `json:"asked_nanosecond,omitempty"`
	// Ears are for Several those that are listened to at once, each of another way; else none. What
	// stands beside them is of all together: the largest uncertainty, all aspects.
	Ears []Listening `json:"ears,omitempty"`
	// Addresses are for an ear the addresses of the site that it can report.
	Addresses []string `json:"addresses,omitempty"`
}

// Way is how signals are received.
type Way string

// The ways.
const (
	OverMQTT   Way = "mqtt"      // the controller's messages
	ByWatching Way = "keyboard"  // the technician watches the controller's own indication
	Simulated  Way = "simulated" // practice
	OverHook   Way = "webhook"   // the controller calls this program over HTTP
	ByPolling  Way = "poll"      // the controller is asked over HTTP again and again
	Several    Way = "several"   // more than one of those at once
)

// Timing is what takes the times.
type Timing string

// The timings.
const (
	ByComputer Timing = "computer" // from the cue to the arrival of the message
	ByHand     Timing = "hand"     // a key was pressed when the indication changed
	BySeed     Timing = "seed"     // simulated: delays are drawn, not measured
	// BySimulatedTime is BySeed where the time itself was simulated.
	BySimulatedTime Timing = "simulated time"
)

// Code names the way.
func (w Way) Code() string { return "way/" + string(w) }

// Code names the timing.
func (t Timing) Code() string { return "timing/" + string(t) }

// Check tells whether a way or timing is none that is known.
func (l Listening) Check() error {
	if !slices.Contains([]Way{OverMQTT, ByWatching, Simulated, OverHook, ByPolling, Several}, l.Way) ||
		!slices.Contains([]Timing{ByComputer, ByHand, BySeed, BySimulatedTime}, l.TimedBy) {
		return fmt.Errorf("listening: way %q, timed by %q", l.Way, l.TimedBy)
	}
	for _, a := range l.Tells {
		if !slices.Contains(Aspects, a) {
			return fmt.Errorf("listening: tells %q", a)
		}
	}
	return l.checkEars()
}

// Connection tells that the connection to the controller came or went.
type Connection struct {
	Up     bool   `json:"up"`
	Why    Change `json:"why,omitempty"`
	Detail string `json:"detail,omitempty"` // an error, as it came
	Ear    Way    `json:"ear,omitempty"`    // whose, where there are several
}

// Change is why a connection came or went.
type Change string

// The changes, as far as they are known.
const (
	Broken         Change = "broken"  // see Detail
	Stalled        Change = "stalled" // nothing moves on it, though nobody has ended it
	BackAgain      Change = "back again"
	ControllerUp   Change = "controller up"   // it says that it is there
	ControllerGone Change = "controller gone" // from the broker
)

// Check tells whether a reason is none that is known.
func (c Connection) Check() error {
	if !slices.Contains([]Change{"", Broken, Stalled, BackAgain, ControllerUp, ControllerGone}, c.Why) {
		return fmt.Errorf("connection: why %q", c.Why)
	}
	return nil
}

// Overrun tells that signals were lost, since they came faster than they could be
// written: how many, and for how long from the time of the entry, in nanoseconds.
type Overrun struct {
	Lost     int   `json:"lost"`
	LastedNS int64 `json:"lasted_nanosecond"`
}

// Kind names the entry of a journal.
func (Signal) Kind() string     { return "signal" }
func (Listening) Kind() string  { return "listening" }
func (Connection) Kind() string { return "connection" }
func (Overrun) Kind() string    { return "overrun" }

// Source is where the controller's signals come from.
type Source interface {
	// About describes the source for the journal.
	About() Listening
	// Start connects and returns; from then on it delivers to the Receiver
	// until Close, also after the connection was lost and came back.
	Start(context.Context, Receiver) error
	Close() error
}

// Receiver takes what a Source hears, in the order in which it is delivered.
// Signal never waits for a disk: what is delivered is durable before anything
// rests on it, and what could not be kept is counted.
type Receiver interface {
	Signal(Signal)
	Connection(Connection)
}

// Switch is a Source that can energise outputs.
type Switch interface {
	CanEnergise(*site.Output) bool
	Energise(ctx context.Context, o *site.Output, on bool) error
}

// NotCarriedOutError is why a command of Energise was certainly not carried out: it never reached the controller,
// or the controller refused it.
type NotCarriedOutError struct{ Why error }

func (e NotCarriedOutError) Error() string { return e.Why.Error() }

// Unwrap is why.
func (e NotCarriedOutError) Unwrap() error { return e.Why }

// KeyTimed is a Source whose signals are the technician's own key presses.
type KeyTimed interface {
	// Press makes the signal of a zone in a state: the key was pressed at that instant.
	Press(at time.Time, address string, state State)
}
