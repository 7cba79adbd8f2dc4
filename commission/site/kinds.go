package site

import "time"

// DetectorKind is what the detectors of a zone are.
type DetectorKind string

// Code names the kind.
func (k DetectorKind) Code() string { return "kind/" + string(k) }

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
	SelfRestoring bool          // it goes back to rest by itself
	RestoreLimit  time.Duration // default; common practice, no source
	LifeSafety    bool          // fire or gas: the fire code rules, we only time the signal
	Announce      bool          // tell people before it is operated
}

const (
	kindDoor   DetectorKind = "door"
	kindWindow DetectorKind = "window"
	kindMotion DetectorKind = "motion"
	kindTamper DetectorKind = "tamper"
)

var traits = map[DetectorKind]Trait{
	kindDoor:          {RestoreLimit: 5 * time.Second},
	kindWindow:        {RestoreLimit: 5 * time.Second},
	kindMotion:        {SelfRestoring: true, RestoreLimit: 30 * time.Second},
	"glass-break":     {SelfRestoring: true, RestoreLimit: 30 * time.Second},
	"hold-up":         {RestoreLimit: 30 * time.Second, Announce: true},
	kindTamper:        {RestoreLimit: 5 * time.Second},
	"smoke":           {SelfRestoring: true, RestoreLimit: 120 * time.Second, LifeSafety: true, Announce: true},
	"carbon-monoxide": {SelfRestoring: true, RestoreLimit: 120 * time.Second, LifeSafety: true, Announce: true},
	"flood":           {RestoreLimit: 60 * time.Second},
	"other":           {RestoreLimit: 30 * time.Second},
}

// Kinds are the kinds of detectors that a site file may name, in its order.
var Kinds = []string{"door", "window", "motion", "glass-break", "hold-up", "tamper", "smoke", "carbon-monoxide",
	"flood", "other"}

// Trait is what the walk-test must know of the kind.
func (k DetectorKind) Trait() Trait { return traits[k] }

// Tamper tells whether the kind answers with a tamper signal.
func (k DetectorKind) Tamper() bool { return k == kindTamper }

// Motion tells whether a person who merely passes sets it off.
func (k DetectorKind) Motion() bool { return k == kindMotion }
