package site

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
	// ParallelResistor is a resistor at the end, and open contacts across it.
	ParallelResistor Wiring = "parallel resistor"
	// ThreeResistors are one at the end, one at each contact, and one across the fault or
	// tamper contact.
	ThreeResistors Wiring = "three resistors"
)

// Wirings are the ways of wiring that a site file may name.
var Wirings = []string{string(NormallyClosed), string(NormallyOpen), string(OneResistor), string(TwoResistors),
	string(ParallelResistor), string(ThreeResistors), string(WiringUnknown)}

// Resistors are the keys of the resistors that a wiring has.
func (w Wiring) Resistors() []string {
	switch w {
	case OneResistor, ParallelResistor:
		return []string{"end_of_line"}
	case TwoResistors:
		return []string{"end_of_line", "contact_resistor"}
	case ThreeResistors:
		return []string{"end_of_line", "contact_resistor", "fault_resistor"}
	}
	return nil
}

// Trait is what the walk-test must know of a kind of detector.
type Trait struct {
	SelfRestoring bool // it goes back to rest by itself
	Powered       bool // it always takes power
	Slow          bool // it takes its own time: a limit for all kinds is not meant for it
	LifeSafety    bool // fire or gas: the fire code rules, we only time the signal
	Announce      bool // tell people before it is operated
}

const (
	kindDoor   DetectorKind = "door"
	kindWindow DetectorKind = "window"
	kindMotion DetectorKind = "motion"
	kindTamper DetectorKind = "tamper"
)

var traits = map[DetectorKind]Trait{
	kindDoor:          {},
	kindWindow:        {},
	kindMotion:        {SelfRestoring: true, Powered: true},
	"glass-break":     {SelfRestoring: true, Powered: true},
	"hold-up":         {Announce: true},
	kindTamper:        {},
	"smoke":           {SelfRestoring: true, Powered: true, Slow: true, LifeSafety: true, Announce: true},
	"carbon-monoxide": {SelfRestoring: true, Powered: true, Slow: true, LifeSafety: true, Announce: true},
	"flood":           {Slow: true},
	"other":           {Slow: true},
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
