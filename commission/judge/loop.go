package judge

import (
	"loopwitness/checks"
	"loopwitness/commission/site"
)

// circuitOf is the detection circuit of a zone with the tolerance of its
// resistors taken as 5 % (E24), and its cable left out.
func circuitOf(z *site.Zone) checks.Circuit {
	kinds := map[site.Wiring]checks.CircuitKind{site.NormallyClosed: checks.NormallyClosed,
		site.NormallyOpen: checks.NormallyOpen, site.OneResistor: checks.OneResistor,
		site.TwoResistors: checks.TwoResistor}
	return checks.Circuit{Kind: kinds[z.Wiring], EndOhm: z.EndOfLine.SI, ContactOhm: z.ContactResistor.SI,
		Contacts: len(z.Detectors), Tolerance: 0.05}
}

// Loop is what an ohmmeter should read on a zone in each state, and which states a
// reading cannot tell apart.
type Loop struct {
	Normal, Active, Shorted, Cut *checks.Window // nil for none
	Alike                        [][2]checks.LoopState
}

// ExpectedLoop computes it for a zone.
func ExpectedLoop(z *site.Zone) (Loop, error) {
	circuit := circuitOf(z)
	windows, err := circuit.Windows()
	if err != nil {
		return Loop{}, err
	}
	overlaps, _ := circuit.Overlaps() // Windows took the circuit
	l := Loop{Normal: window(windows, checks.LoopNormal), Active: window(windows, checks.LoopActive),
		Shorted: window(windows, checks.LoopShorted), Cut: window(windows, checks.LoopCut)}
	for _, o := range overlaps {
		l.Alike = append(l.Alike, [2]checks.LoopState{o.A.State, o.B.State})
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
