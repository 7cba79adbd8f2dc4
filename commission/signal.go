// Package commission holds the words of the trade: signals, trials, the
// programme of a visit, the record that a journal folds to, and its assessment.
// It asks nobody, listens to nothing and draws no page.
package commission

import (
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
	At      time.Time // with its monotonic reading
	Address string
	State   State
	// Kept says why the signal tells an old state and is no response:
	// "retained" by the broker, "repeated" after reconnecting. Empty when live.
	Kept string
	Raw  string // the payload or key, shortened
}

// answers translates a state for the trial of a zone: a tamper zone answers
// with tamper signals. Unknown means the signal is no answer.
func answers(z *site.Zone, s State) State {
	switch {
	case s == Active || s == Restored:
		return s
	case s == Tamper && z.Kind.Tamper():
		return Active
	}
	return Unknown
}
