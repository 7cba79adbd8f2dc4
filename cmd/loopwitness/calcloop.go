package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type loopFlags struct {
	wiring, end, contact, fault, tolerance, length, gauge, temperature, measured, uncertainty string
	supply, pullUp                                                                            string
	contacts                                                                                  int
}

func newCalcLoop(s streams) *cobra.Command {
	f := &loopFlags{}
	cmd := calculator(
		s,
		"loop",
		"What a detection circuit should read, and what a reading means",
		"The resistance that a circuit should show in each state, with tolerances and cable, and with --measured\n"+
			"which state a reading shows. A reading is taken as exact to its last digit (JCGM 100 F.2.2.1) unless\n"+
			"--uncertainty says otherwise.",
		func([]string) (*answer, error) { return f.compute() },
	)
	cmd.Flags().StringVar(&f.wiring, "wiring", "", "as in site.yaml: "+strings.Join(checks.CircuitKinds, ", "))
	cmd.Flags().StringVar(&f.end, "end", "", "end-of-line resistor, for example 4k7")
	cmd.Flags().StringVar(&f.contact, "contact", "", "resistor at each contact")
	cmd.Flags().StringVar(&f.fault, "fault", "", "resistor at the fault or tamper contact")
	cmd.Flags().StringVar(&f.tolerance, "tolerance", "1%", "of the resistors")
	cmd.Flags().IntVar(&f.contacts, "contacts", 1, "contacts on the circuit")
	cmd.Flags().StringVar(&f.length, "length", "", "length of the cable, one way")
	cmd.Flags().StringVar(&f.gauge, "gauge", "", `its conductor, for example "22 AWG"`)
	cmd.Flags().StringVar(&f.temperature, "temperature", "20C", "of the copper")
	cmd.Flags().StringVar(&f.measured, "measured", "", "reading at the terminals, for example 9.5k, or open")
	cmd.Flags().StringVar(&f.uncertainty, "uncertainty", "", "of the reading, expanded")
	cmd.Flags().StringVar(&f.supply, "supply", "12V", "voltage that the controller feeds the circuit with")
	cmd.Flags().StringVar(&f.pullUp, "pull-up", "",
		"resistor that it feeds it through; then voltages at the terminals are told, too")
	return cmd
}

// circuitKind takes a wiring in the words of site.yaml, or joined by hyphens and in the
// singular, as a shell takes it without quotes: two-resistor.
func circuitKind(text string) checks.CircuitKind {
	words := strings.Fields(strings.ReplaceAll(text, "-", " "))
	for i, word := range words {
		if word == "resistor" && (words[0] == "two" || words[0] == "three") {
			words[i] = "resistors"
		}
	}
	return checks.CircuitKind(strings.Join(words, " "))
}

func (f *loopFlags) circuit() (checks.Circuit, error) {
	var q quantities
	q.need("wiring", f.wiring)
	c := checks.Circuit{Kind: circuitKind(f.wiring), EndOhm: q.read("end", f.end, checks.Resistance).SI,
		ContactOhm: q.read("contact", f.contact, checks.Resistance).SI,
		FaultOhm:   q.read("fault", f.fault, checks.Resistance).SI,
		Tolerance:  q.share("tolerance", f.tolerance), Contacts: f.contacts}
	if (f.length == "") != (f.gauge == "") {
		q.errs = append(q.errs, "--length and --gauge go together")
	}
	length, wire := q.read("length", f.length, checks.Length), q.conductor("gauge", f.gauge)
	celsius := q.read("temperature", f.temperature, checks.Temperature).SI
	if err := q.err(); err != nil {
		return checks.Circuit{}, err
	}
	if f.length != "" {
		r, err := wire.Resistance(checks.Solid, celsius)
		if err != nil {
			return checks.Circuit{}, err
		}
		c.CableOhm = 2 * length.SI * r.OhmPerMetre
	}
	return c, nil
}

func (f *loopFlags) compute() (*answer, error) {
	c, err := f.circuit()
	if err != nil {
		return nil, err
	}
	windows, err := c.Windows()
	if err != nil {
		return nil, err
	}
	var q quantities
	supply, pullUp := q.read("supply", f.supply, checks.Voltage).SI, q.read("pull-up", f.pullUp, checks.Resistance)
	if err := q.err(); err != nil {
		return nil, err
	}
	a := newAnswer()
	a.set("cable_ohm", c.CableOhm)
	seen := map[checks.LoopState]bool{}
	for _, w := range windows {
		words, first := windowWords(w), !seen[w.State]
		seen[w.State] = true
		if pullUp.SI > 0 {
			volts := checks.TerminalVolt(supply, pullUp.SI, w.Nominal)
			words += fmt.Sprintf("  %.3f V", volts)
			if first {
				a.set(string(w.State)+"_volt", volts)
			}
		}
		if first {
			a.set(string(w.State)+"_ohm", w.Nominal)
		}
		a.say("%-9s %-10s %s", w.State, ohms(w.Nominal), words)
	}
	overlaps, err := c.Overlaps()
	if err != nil {
		return nil, err
	}
	for _, o := range overlaps {
		a.say("A reading cannot tell %s from %s on this circuit.", o.A.State, o.B.State)
	}
	if f.measured == "" {
		return a, nil
	}
	return a, f.classify(a, c)
}

// ohms prints a resistance, an infinite one as open.
func ohms(v float64) string {
	if math.IsInf(v, 1) {
		return "open"
	}
	return num(v) + " Ω"
}

func windowWords(w checks.Window) string {
	text := ""
	if !math.IsInf(w.Nominal, 1) && w.Up > w.Low {
		text = fmt.Sprintf("%s to %s Ω", num(w.Low), num(w.Up))
	}
	switch {
	case w.State == checks.LoopFault && w.Opened > 0 || w.Opened > 1:
		text += fmt.Sprintf(" with %d active", w.Opened)
	}
	return text
}

func (f *loopFlags) classify(a *answer, c checks.Circuit) error {
	ohm, uncertainty := math.Inf(1), 0.0
	if f.measured != "open" {
		var q quantities
		measured := q.read("measured", f.measured, checks.Resistance)
		ohm = measured.SI
		standard, err := checks.FromResolution(checks.Resistance.Resolution(measured))
		q.check("measured", err)
		uncertainty = 2 * standard
		if f.uncertainty != "" {
			uncertainty = q.read("uncertainty", f.uncertainty, checks.Resistance).SI
		}
		if err := q.err(); err != nil {
			return err
		}
	}
	fit, err := c.Classify(ohm, uncertainty)
	if err != nil {
		return err
	}
	var words []string
	for _, w := range fit {
		if len(words) == 0 || words[len(words)-1] != string(w.State) {
			words = append(words, string(w.State))
		}
	}
	state := strings.Join(words, " or ")
	if state == "" {
		state = "unexplained"
	}
	a.values["state"] = state
	a.say("measured  %s ± %s Ω: %s", ohms(ohm), num(uncertainty), state)
	if len(fit) == 0 {
		a.say("No state of this circuit explains it: look for a wrong resistor, a further one, or a bad joint.")
	}
	return nil
}
