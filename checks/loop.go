package checks

import (
	"fmt"
	"math"
	"strings"
)

// CircuitKind is how the contacts and resistors of a detection circuit are
// joined. A site file names most of them with the same words.
type CircuitKind string

// The kinds of circuits. TwoResistorOpen: a normally open contact in series with its
// resistor, both across the resistor at the end. ParallelResistor: normally open contacts
// across the resistor at the end. ThreeResistor: one at the end, one across each contact,
// one across the fault or tamper contact, all in series.
const (
	NormallyClosed   CircuitKind = "normally closed"
	NormallyOpen     CircuitKind = "normally open"
	OneResistor      CircuitKind = "one resistor"
	TwoResistor      CircuitKind = "two resistors"
	TwoResistorOpen  CircuitKind = "two resistors open"
	ParallelResistor CircuitKind = "parallel resistor"
	ThreeResistor    CircuitKind = "three resistors"
)

// CircuitKinds are all of them, as calculators take them.
var CircuitKinds = []string{string(NormallyClosed), string(NormallyOpen), string(OneResistor), string(TwoResistor),
	string(TwoResistorOpen), string(ParallelResistor), string(ThreeResistor)}

// Circuit is a detection circuit seen from the controller's terminals.
type Circuit struct {
	Kind       CircuitKind
	EndOhm     float64
	ContactOhm float64 // beside each contact
	FaultOhm   float64 // beside the fault or tamper contact
	Contacts   int     // in series; 0 counts as 1
	Tolerance  float64 // of the resistors, 0.01 for 1 %
	CableOhm   float64 // both conductors together
	CableTol   float64 // of the cable's resistance; 1 for anything from none to twice as much
}

// LoopState is what a reading shows of a circuit.
type LoopState string

// The states of a circuit.
const (
	LoopNormal  LoopState = "normal"
	LoopActive  LoopState = "active"
	LoopFault   LoopState = "fault" // with contacts active beside it, perhaps
	LoopShorted LoopState = "shorted"
	LoopCut     LoopState = "cut"
)

// Window is what a circuit should read in a state, in Ω; infinite for open.
// Opened is how many contacts are active in it.
type Window struct {
	State            LoopState
	Opened           int
	Low, Nominal, Up float64
}

// openOhm is what an ohmmeter shows as open: a dirty or damp loop may conduct a
// little (common practice, no source). closedOhm is contacts and clips.
const (
	openOhm   = 1e6
	closedOhm = 2.0
)

func (c Circuit) valid() error {
	known := false
	for _, k := range CircuitKinds {
		known = known || string(c.Kind) == k
	}
	switch {
	case !known:
		return fmt.Errorf("%w: a circuit of the kind %q; it is one of %s", ErrQuantity, c.Kind,
			strings.Join(CircuitKinds, ", "))
	case !(min(c.EndOhm, c.ContactOhm, c.FaultOhm, c.CableOhm) >= 0) ||
		math.IsInf(c.EndOhm+c.ContactOhm+c.FaultOhm+c.CableOhm, 0):
		return fmt.Errorf("%w: resistances of %v, %v, %v and %v Ω", ErrQuantity, c.EndOhm, c.ContactOhm, c.FaultOhm,
			c.CableOhm)
	case !(c.Tolerance >= 0 && c.Tolerance < 1) || !(c.CableTol >= 0 && c.CableTol <= 1):
		return fmt.Errorf("%w: tolerances of %v and %v; they lie between 0 and 100 %%", ErrQuantity, c.Tolerance, c.CableTol)
	case c.Contacts < 0 || c.Contacts > 64:
		return fmt.Errorf("%w: %d contacts", ErrQuantity, c.Contacts)
	case c.needsEnd() && c.EndOhm == 0, c.needsContact() && c.ContactOhm == 0,
		c.Kind == ThreeResistor && c.FaultOhm == 0:
		return fmt.Errorf("%w: a circuit of the kind %q needs its resistors", ErrQuantity, c.Kind)
	}
	return nil
}

func (c Circuit) needsEnd() bool { return c.Kind != NormallyClosed && c.Kind != NormallyOpen }

func (c Circuit) needsContact() bool {
	return c.Kind == TwoResistor || c.Kind == TwoResistorOpen || c.Kind == ThreeResistor
}

// ohm is the resistance at the terminals with some contacts active, by
// Kirchhoff's laws, for resistors and cable at their nominal value times a
// factor each. A short is at the near end of the cable.
func (c Circuit) ohm(state LoopState, opened int, resistor, cable float64) float64 {
	end, contact, wire := c.EndOhm*resistor, float64(opened)*c.ContactOhm*resistor, c.CableOhm*cable
	switch {
	case state == LoopShorted:
		return 0
	case state == LoopCut:
		return math.Inf(1)
	case state == LoopFault:
		return end + contact + c.FaultOhm*resistor + wire
	case state == LoopNormal && c.Kind == NormallyOpen:
		return math.Inf(1)
	case state == LoopNormal && c.Kind == NormallyClosed:
		return wire
	case state == LoopNormal:
		return end + wire
	}
	switch c.Kind { // active
	case NormallyClosed, OneResistor:
		return math.Inf(1)
	case NormallyOpen, ParallelResistor:
		return wire
	case TwoResistorOpen:
		return 1/(1/end+float64(opened)/(c.ContactOhm*resistor)) + wire
	}
	return end + contact + wire
}

// Windows are what the circuit should read in each state, with the worst case
// of its tolerances: they add linearly. Active is given for one contact and, where each
// has its resistor, for each further one; a fault with none of them active, and with each
// number of them.
func (c Circuit) Windows() ([]Window, error) {
	if err := c.valid(); err != nil {
		return nil, err
	}
	var out []Window
	add := func(state LoopState, opened int) {
		out = append(out, Window{state, opened, c.ohm(state, opened, 1-c.Tolerance, 1-c.CableTol),
			c.ohm(state, opened, 1, 1), c.ohm(state, opened, 1+c.Tolerance, 1+c.CableTol)})
	}
	add(LoopNormal, 0)
	several := 1
	if c.needsContact() {
		several = max(1, c.Contacts)
	}
	for n := range several {
		add(LoopActive, n+1)
	}
	if c.Kind == ThreeResistor {
		for n := range several + 1 {
			add(LoopFault, n)
		}
	}
	add(LoopShorted, 0)
	add(LoopCut, 0)
	return out, nil
}

// holds tells whether a reading, with its uncertainty, may be of this state.
func (w Window) holds(ohm, uncertainty float64) bool {
	low, up := w.Low-closedOhm, w.Up+closedOhm
	if math.IsInf(w.Low, 1) {
		low = openOhm
	}
	return ohm+uncertainty >= low && ohm-uncertainty <= up
}

// Classify is every state that a reading in Ω may show; an open circuit reads
// +Inf or more than 1 MΩ. None means that no state of this circuit explains it.
// Several mean that a reading cannot tell them apart.
func (c Circuit) Classify(ohm, uncertainty float64) ([]Window, error) {
	all, err := c.Windows()
	if err != nil {
		return nil, err
	}
	if math.IsNaN(ohm) || ohm < 0 || !(uncertainty >= 0) {
		return nil, fmt.Errorf("%w: a loop of %v Ω ± %v Ω", ErrQuantity, ohm, uncertainty)
	}
	var fit []Window
	for _, w := range all {
		if w.holds(ohm, uncertainty) {
			fit = append(fit, w)
		}
	}
	return fit, nil
}

// Overlap is a pair of states that a reading cannot tell apart.
type Overlap struct{ A, B Window }

// Overlaps are all pairs whose windows meet: a contact that opens looks like a
// cut cable unless a resistor tells them apart.
func (c Circuit) Overlaps() ([]Overlap, error) {
	all, err := c.Windows()
	if err != nil {
		return nil, err
	}
	var out []Overlap
	for i, a := range all {
		for _, b := range all[i+1:] {
			if a.State == b.State && a.Opened != b.Opened && c.Kind == TwoResistorOpen {
				continue
			}
			if a.Low <= b.Up+closedOhm && b.Low <= a.Up+closedOhm {
				out = append(out, Overlap{a, b})
			}
		}
	}
	return out, nil
}

// TerminalVolt is the voltage at the terminals of a circuit that is fed through
// a resistor: V·R/(R + Rp), all of V for an open one.
func TerminalVolt(supply, pullUpOhm, loopOhm float64) float64 {
	if math.IsInf(loopOhm, 1) {
		return supply
	}
	return supply * loopOhm / (loopOhm + pullUpOhm)
}

// e24 is the decade of preferred values of IEC 60063 for 5 % parts.
var e24 = []float64{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}

// nearestPreferred is the E24 value nearest to a resistance in Ω, and by how
// much the reading is off, as a share of that value.
func nearestPreferred(ohm float64) (value, off float64) {
	if !(ohm > 0) || math.IsInf(ohm, 0) {
		return 0, math.Inf(1)
	}
	decade := math.Pow(10, math.Floor(math.Log10(ohm))-1)
	best := math.Inf(1)
	for _, scale := range []float64{decade, decade * 10} {
		for _, e := range e24 {
			if d := math.Abs(ohm-e*scale) / (e * scale); d < best {
				best, value = d, e*scale
			}
		}
	}
	return value, best
}
