package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/words"
)

type cableFlags struct {
	gauge, length, current, supply, temperature, make, minimum string
	cores                                                      int
	colours, measured                                          string
	taps                                                       []string
}

func newCalcCable(s streams) *cobra.Command {
	f := &cableFlags{}
	cmd := calculator(
		s,
		"cable",
		"Voltage drop on a two-wire cable, or what an unknown cable is",
		"Resistance, voltage drop and far-end voltage of a two-wire cable with one load, and with --minimum the\n"+
			"longest run and the next size that would do. With --cores, what an unknown cable probably is and what to\n"+
			"check next.",
		func([]string) (*answer, error) {
			if f.cores != 0 {
				return f.identify()
			}
			return f.compute()
		},
	)
	cmd.Flags().StringVar(&f.gauge, "gauge", "", `conductor, for example "22 AWG" or "0.22 mm2"`)
	cmd.Flags().StringVar(&f.length, "length", "", "length one way, for example 30m")
	cmd.Flags().StringVar(&f.current, "current", "0A", "current of the load, for example 35mA")
	cmd.Flags().StringVar(&f.supply, "supply", "12V", "voltage at the near end")
	cmd.Flags().StringVar(&f.temperature, "temperature", "20C", "of the copper")
	cmd.Flags().StringVar(&f.make, "make", string(checks.Solid), "solid, stranded or flexible")
	cmd.Flags().StringArrayVar(&f.taps, "tap", nil,
		"a load along the run instead of --length and --current,\nfor example \"10m 15mA\"; may be repeated")
	cmd.Flags().StringVar(&f.minimum, "minimum", "", "lowest voltage that the load works at")
	cmd.Flags().IntVar(&f.cores, "cores", 0, "number of cores of an unknown cable")
	cmd.Flags().StringVar(&f.colours, "colours", "", "their colours, separated by commas")
	cmd.Flags().StringVar(&f.measured, "measured", "", "resistance read on them, or open")
	return cmd
}

func (f *cableFlags) compute() (*answer, error) {
	var q quantities
	q.need("gauge", f.gauge)
	if len(f.taps) == 0 {
		q.need("length", f.length)
	} else if f.length != "" {
		q.errs = append(q.errs, "--tap stands instead of --length")
	}
	c := q.conductor("gauge", f.gauge)
	run := checks.Run{LengthMetre: q.read("length", f.length, checks.Length).SI,
		Ampere:     q.read("current", f.current, checks.Current).SI,
		SupplyVolt: q.read("supply", f.supply, checks.Voltage).SI}
	celsius := q.read("temperature", f.temperature, checks.Temperature).SI
	minimum := q.read("minimum", f.minimum, checks.Voltage)
	if !slices.Contains([]string{string(checks.Solid), string(checks.Stranded), string(checks.Flexible)}, f.make) {
		q.errs = append(q.errs, "--make: one of solid, stranded, flexible")
	}
	if run.SupplyVolt < 0 {
		q.errs = append(q.errs, "--supply: must not be negative")
	}
	if f.colours != "" || f.measured != "" {
		q.errs = append(q.errs, "--colours and --measured go with --cores")
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	wire, err := c.Resistance(checks.Make(f.make), celsius)
	if err != nil {
		return nil, err
	}
	run.OhmPerMetre = wire.OhmPerMetre
	if len(f.taps) > 0 {
		return f.along(c, wire, run.SupplyVolt, minimum)
	}
	drop, err := run.Drop()
	if err != nil {
		return nil, err
	}
	far, err := run.FarEnd()
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	a.set("resistance_ohm", run.LoopOhm())
	a.set("conductor_ohm_per_metre", run.OhmPerMetre)
	a.set("drop_volt", drop)
	a.set("far_end_volt", far)
	a.say("conductor   %s, %s at %s: %s Ω/km (%s)", c.Text, f.make, f.temperature, num(run.OhmPerMetre*1000),
		english.Say(wire.Rule))
	a.say("resistance  R = 2·L·R' = 2 × %s m × %s Ω/m = %s Ω, both conductors", num(run.LengthMetre),
		num(run.OhmPerMetre), num(run.LoopOhm()))
	a.say("drop        V = R·I = %s Ω × %s A = %s V", num(run.LoopOhm()), num(run.Ampere), num(drop))
	a.say("far end     %s V − %s V = %s V", num(run.SupplyVolt), num(drop), num(far))
	if !minimum.Given() {
		return a, nil
	}
	return a, f.judge(a, c, run, celsius, minimum.SI, far)
}

// along is the voltage at each of several loads on one run.
func (f *cableFlags) along(c checks.Conductor, wire checks.WireResistance, supply float64,
	minimum checks.Quantity) (*answer, error) {
	var q quantities
	var taps []checks.Tap
	for _, text := range f.taps {
		words := strings.Fields(text)
		if len(words) == 4 { // "10 m 15 mA"
			words = []string{words[0] + words[1], words[2] + words[3]}
		}
		if len(words) != 2 {
			q.errs = append(q.errs, fmt.Sprintf("--tap: %q; write a distance and a current, for example \"10m 15mA\"", text))
			continue
		}
		at, ampere := words[0], words[1]
		taps = append(taps,
			checks.Tap{AtMetre: q.read("tap", at, checks.Length).SI, Ampere: q.read("tap", ampere, checks.Current).SI})
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	drops, err := checks.DropsAlong(taps, wire.OhmPerMetre)
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	a.say("conductor   %s, %s at %s: %s Ω/km (%s)", c.Text, f.make, f.temperature, num(wire.OhmPerMetre*1000),
		english.Say(wire.Rule))
	a.say("each piece of the run carries the current of all loads beyond it")
	var volts []float64
	worst := 0.0
	for i, drop := range drops {
		volts = append(volts, max(0, supply-drop))
		worst = max(worst, drop)
		a.say("tap %d       at %s m, %s A: %s V lost, %s V left", i+1, num(taps[i].AtMetre), num(taps[i].Ampere),
			num(drop), num(volts[i]))
	}
	a.values["taps_volt"] = volts
	a.set("drop_volt", worst)
	a.set("far_end_volt", max(0, supply-worst))
	if minimum.Given() {
		a.values["verdict"] = string(checks.Pass)
		if supply-worst < minimum.SI {
			a.values["verdict"] = string(checks.Fail)
		}
		a.say("verdict     %s: the loads need %s V, the worst gets %s V", a.values["verdict"], num(minimum.SI),
			num(max(0, supply-worst)))
	}
	return a, nil
}

func (f *cableFlags) judge(a *answer, c checks.Conductor, run checks.Run, celsius, minimum, far float64) error {
	longest, err := run.Longest(minimum)
	if err != nil {
		return err
	}
	a.values["verdict"] = string(checks.Pass)
	if far < minimum {
		a.values["verdict"] = string(checks.Fail)
	}
	a.set("longest_metre", longest)
	a.say("verdict     %s: the load needs %s V; longest run %s m", a.values["verdict"], num(minimum), num(longest))
	size, ok, err := checks.NextSize(c, checks.Make(f.make), celsius, run, minimum)
	if err != nil {
		return err
	}
	switch {
	case far >= minimum:
	case ok:
		a.values["next_size"] = size.Text
		a.say("change      %s would do", size.Text)
	default:
		a.say("change      no size does; shorten the run or feed it from nearer")
	}
	return nil
}

func (f *cableFlags) identify() (*answer, error) {
	var q quantities
	ohm := math.NaN()
	switch f.measured {
	case "":
	case "open":
		ohm = math.Inf(1)
	default:
		ohm = q.read("measured", f.measured, checks.Resistance).SI
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	colours := strings.Split(f.colours, ",")
	if len(colours) == 1 { // without a comma, blanks part them as in the visit
		colours = strings.Fields(f.colours)
	}
	guesses, err := checks.IdentifyCable(f.cores, colours, ohm)
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	var list []map[string]string
	for i, g := range guesses {
		what, why, next := english.Say(words.GuessWhat(g)), english.Say(words.GuessWhy(g)), english.Say(words.GuessNext(g))
		list = append(list, map[string]string{"code": string(g.What), "what": what, "why": why, "check": next})
		a.say("%d  %s (%s)\n   next: %s", i+1, what, why, next)
	}
	a.values["guesses"] = list
	a.say("Colours have no standard: believe nothing before it is measured.")
	return a, nil
}
