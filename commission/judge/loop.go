package judge

import (
	"math"
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// What is taken of a loop where nobody says more: rows of checks.Thresholds.
var (
	usualTolerance  = checks.Usual("usual/tolerance")
	finestTolerance = checks.Usual("loop/resistor/finest")
	widestTolerance = checks.Usual("loop/resistor/widest")
	cableTolerance  = checks.Usual("loop/cable/holds-share")
	cableWidest     = checks.Usual("loop/cable/widest-share")
	ohmmeterShare   = checks.Usual("loop/ohmmeter/share")
	unknownLength   = checks.Usual("loop/cable/longest")
	unknownArea     = checks.Usual("loop/cable/thinnest")
)

// circuitOf is the detection circuit of a zone; cable tells whether its cable is known
// and in it.
func circuitOf(s *site.Site, z *site.Zone) (circuit checks.Circuit, cable bool, err error) {
	circuit = checks.Circuit{Kind: checks.CircuitKind(z.Wiring), EndOhm: z.EndOfLine.SI, ContactOhm: z.ContactResistor.SI,
		FaultOhm: z.FaultResistor.SI, Contacts: len(z.Detectors),
		Tolerance: given(z.Tolerance, 1, usualTolerance).Value}
	if z.Cable == nil || !z.Cable.Length.Given() || z.Cable.Conductor.Text == "" {
		return circuit, false, nil
	}
	circuit.CableTol = cableTolerance
	circuit.CableOhm, err = loopOfWire(s, z.Cable.Conductor, z.Cable.Length.SI)
	return circuit, true, err
}

// loopOfWire is the resistance of both conductors of a cable. Flexible is the worst make:
// alarm cable seldom says what it is.
func loopOfWire(s *site.Site, c checks.Conductor, metre float64) (float64, error) {
	wire, err := c.Resistance(checks.Flexible, celsiusOf(s))
	return checks.Run{LengthMetre: metre, OhmPerMetre: wire.OhmPerMetre}.LoopOhm(), err
}

// widest is a circuit as far as what nobody declared may be off: its resistors, and its
// cable, which may be any that is used where it is not known.
func widest(s *site.Site, z *site.Zone, circuit checks.Circuit, cable bool) (checks.Circuit, error) {
	if !z.Tolerance.Given() {
		circuit.Tolerance = widestTolerance
	}
	if circuit.CableTol = cableWidest; cable {
		return circuit, nil
	}
	most, err := loopOfWire(s, checks.Conductor{AreaMM2: unknownArea}, unknownLength)
	circuit.CableOhm, circuit.CableTol = most/2, 1 // anything from none to all of it
	return circuit, err
}

// Loop is what an ohmmeter should read on a zone in each state, and which states a
// reading cannot tell apart.
type Loop struct {
	Normal, Active, Fault, Shorted, Cut *checks.Window // nil for none
	Alike                               [][2]checks.LoopState
}

// ExpectedLoop computes it for a zone of a site.
func ExpectedLoop(s *site.Site, z *site.Zone) (Loop, error) {
	circuit, _, err := circuitOf(s, z)
	if err != nil {
		return Loop{}, err
	}
	windows, err := circuit.Windows()
	if err != nil {
		return Loop{}, err
	}
	overlaps, _ := circuit.Overlaps() // Windows took the circuit
	l := Loop{Normal: window(windows, checks.LoopNormal), Active: window(windows, checks.LoopActive),
		Fault: window(windows, checks.LoopFault), Shorted: window(windows, checks.LoopShorted),
		Cut: window(windows, checks.LoopCut)}
	for _, o := range overlaps {
		if pair := [2]checks.LoopState{o.A.State, o.B.State}; !slices.Contains(l.Alike, pair) {
			l.Alike = append(l.Alike, pair)
		}
	}
	return l, nil
}

// window is the first window of a state.
func window(all []checks.Window, state checks.LoopState) *checks.Window {
	for _, w := range all {
		if w.State == state {
			return &w
		}
	}
	return nil
}

// LoopMeaning is what a reading of a loop shows whose detectors should be at rest.
type LoopMeaning struct {
	States  []checks.LoopState // that explain it
	Opened  int                // the fewest active contacts that explain it, where no rest does
	Ruling  checks.Ruling
	Lacks   []LackCode // what would decide it
	Assumed []string   // keys of the site file whose default counts
}

// zoneTolerance is the key of the resistors' tolerance.
const zoneTolerance = "zones[].tolerance"

// ReadLoop tells what a reading on a zone shows, in Ω, +Inf for an open loop. It holds
// where the circuit at rest reads that as described; it fails where it could not, whatever
// nobody declared of cable and resistors; between, it is undecided.
func ReadLoop(s *site.Site, z *site.Zone, ohm float64) (LoopMeaning, error) {
	circuit, cable, err := circuitOf(s, z)
	if err != nil {
		return LoopMeaning{}, err
	}
	fit, err := circuit.Classify(ohm, 0)
	if err != nil {
		return LoopMeaning{}, err
	}
	wide, err := widest(s, z, circuit, cable)
	if err != nil {
		return LoopMeaning{}, err
	}
	might, _ := wide.Classify(ohm, offBy(ohm)) // as it took the reading before
	m := LoopMeaning{Ruling: checks.Fail}
	switch {
	case atRest(fit):
		m.Ruling = checks.Pass
		if !z.Tolerance.Given() && !finest(circuit, ohm) {
			m.Assumed = append(m.Assumed, zoneTolerance)
		}
	case atRest(might):
		m.Ruling, fit = checks.Undecided, might
		if !cable {
			m.Lacks = append(m.Lacks, LackZoneCable)
		}
	case len(fit) == 0:
		fit = might
	}
	m.tell(fit)
	return m, nil
}

// tell notes the states of windows, each once.
func (m *LoopMeaning) tell(fit []checks.Window) {
	for _, w := range fit {
		if !slices.Contains(m.States, w.State) {
			m.States = append(m.States, w.State)
		}
		if m.Opened == 0 {
			m.Opened = w.Opened
		}
	}
	if atRest(fit) {
		m.Opened = 0
	}
}

// finest tells whether a reading is of a circuit at rest with resistors of one percent,
// too.
func finest(circuit checks.Circuit, ohm float64) bool {
	circuit.Tolerance = finestTolerance
	fit, _ := circuit.Classify(ohm, offBy(ohm)) // ReadLoop has classified it already
	return atRest(fit)
}

func atRest(fit []checks.Window) bool {
	return slices.ContainsFunc(fit, func(w checks.Window) bool { return w.State == checks.LoopNormal })
}

// offBy is how far an ohmmeter may be off, in Ω.
func offBy(ohm float64) (by float64) {
	if !math.IsInf(ohm, 1) {
		by = ohmmeterShare * ohm
	}
	return by
}
