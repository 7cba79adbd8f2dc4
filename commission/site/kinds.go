package site

import "time"

// Kind is what the detectors of a zone are.
type Kind string

// Wiring is how the contacts of a zone are wired.
type Wiring string

// The ways a circuit is wired.
const (
	NormallyClosed Wiring = "normally closed"
	NormallyOpen   Wiring = "normally open"
	OneResistor    Wiring = "one resistor"
	TwoResistors   Wiring = "two resistors"
)

// Wirings are the ways of wiring that a site file may name.
var Wirings = []string{string(NormallyClosed), string(NormallyOpen), string(OneResistor), string(TwoResistors)}

// Trait is what the walk-test must know of a kind of detector.
type Trait struct {
	Operate, Restore string        // what the technician is told to do
	SelfRestoring    bool          // it goes back to rest by itself
	RestoreLimit     time.Duration // default; common practice, no source
	LifeSafety       bool          // fire or gas: the fire code rules, we only time the signal
	Announce         bool          // tell people before it is operated
}

const (
	kindDoor   Kind = "door"
	kindWindow Kind = "window"
	kindMotion Kind = "motion"
	kindTamper Kind = "tamper"
)

var traits = map[Kind]Trait{
	kindDoor:          {Operate: "open the door", Restore: "close the door", RestoreLimit: 5 * time.Second},
	kindWindow:        {Operate: "open the window", Restore: "close the window", RestoreLimit: 5 * time.Second},
	kindMotion:        {Operate: "walk across its field of view", Restore: "leave its field of view, or stand still", SelfRestoring: true, RestoreLimit: 30 * time.Second},
	"glass-break":     {Operate: "use the tester made for this detector", Restore: "stop the tester and let it settle", SelfRestoring: true, RestoreLimit: 30 * time.Second},
	"hold-up":         {Operate: "press the hold-up button", Restore: "reset the button", RestoreLimit: 30 * time.Second, Announce: true},
	kindTamper:        {Operate: "lift the cover", Restore: "refit the cover", RestoreLimit: 5 * time.Second},
	"smoke":           {Operate: "apply test smoke as its maker says", Restore: "clear the smoke and let it reset", SelfRestoring: true, RestoreLimit: 120 * time.Second, LifeSafety: true, Announce: true},
	"carbon-monoxide": {Operate: "apply test gas as its maker says", Restore: "clear the gas and let it reset", SelfRestoring: true, RestoreLimit: 120 * time.Second, LifeSafety: true, Announce: true},
	"flood":           {Operate: "bridge the probes with a damp cloth", Restore: "dry the probes", RestoreLimit: 60 * time.Second},
	"other":           {Operate: "operate the detector", Restore: "return it to rest", RestoreLimit: 30 * time.Second},
}

// Kinds are the kinds of detectors that a site file may name, in its order.
var Kinds = []string{"door", "window", "motion", "glass-break", "hold-up", "tamper", "smoke", "carbon-monoxide", "flood", "other"}

// Trait is what the walk-test must know of the kind.
func (k Kind) Trait() Trait { return traits[k] }

// Tamper tells whether the kind answers with a tamper signal.
func (k Kind) Tamper() bool { return k == kindTamper }

// Motion tells whether a person who merely passes sets it off.
func (k Kind) Motion() bool { return k == kindMotion }

// Hint tells a technician at the detector what the wiring should do.
func (z *Zone) Hint() string {
	switch z.Wiring {
	case NormallyClosed:
		return "normally closed: operating opens the loop"
	case NormallyOpen:
		return "normally open: operating closes the loop"
	case OneResistor:
		return "one end-of-line resistor, " + z.EndOfLine.Text + ": operating opens the loop"
	}
	return "end-of-line " + z.EndOfLine.Text + ", contact " + z.ContactResistor.Text + ": operating adds the contact's resistor"
}
