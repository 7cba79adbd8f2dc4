package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type decideFlags struct{ value, uncertainty, expanded, limit, lower string }

func newCalcDecide(s streams) *cobra.Command {
	f := &decideFlags{}
	cmd := calculator(s, "decide", "Whether a measured value is within its limit",
		"Hold a value with its uncertainty against a limit (JCGM 106): pass if it is inside by the expanded uncertainty (k = 2),\n"+
			"fail if it is outside by it, else undecided; with the probability of conformity.",
		func([]string) (*answer, error) { return f.compute() })
	cmd.Flags().StringVar(&f.value, "value", "", "measured value, for example 1.96s")
	cmd.Flags().StringVar(&f.uncertainty, "uncertainty", "", "its standard uncertainty (k = 1)")
	cmd.Flags().StringVar(&f.expanded, "expanded", "", "its expanded uncertainty (k = 2), instead")
	cmd.Flags().StringVar(&f.limit, "limit", "", "upper limit")
	cmd.Flags().StringVar(&f.lower, "lower-limit", "", "lower limit")
	return cmd
}

// dimensions that a value may be of.
var dimensions = []checks.Dimension{checks.Time, checks.Voltage, checks.Current, checks.Resistance, checks.Length, checks.SoundLevel, checks.Temperature, checks.Capacity, checks.Ratio}

// dimension is the one that all texts are written in.
func dimension(texts ...string) (checks.Dimension, error) {
	for _, d := range dimensions {
		all := true
		for _, t := range texts {
			if t != "" {
				_, err := d.Parse(t)
				all = all && err == nil
			}
		}
		if all {
			return d, nil
		}
	}
	return checks.Dimension{}, fmt.Errorf("value, uncertainty and limit must be of one kind, each with its unit, for example 1.96s, 50ms, 2s; got %q", texts)
}

func (f *decideFlags) compute() (*answer, error) {
	var q quantities
	q.need("value", f.value)
	if f.limit == "" && f.lower == "" {
		q.errs = append(q.errs, "--limit or --lower-limit is needed")
	}
	if (f.uncertainty == "") == (f.expanded == "") {
		q.errs = append(q.errs, "--uncertainty is needed, or --expanded instead")
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	d, err := dimension(f.value, f.uncertainty, f.expanded, f.limit, f.lower)
	if err != nil {
		return nil, err
	}
	value := q.read("value", f.value, d).SI
	expanded := 2*q.read("uncertainty", f.uncertainty, d).SI + q.read("expanded", f.expanded, d).SI
	in := checks.Limits{Lower: math.Inf(-1), Upper: math.Inf(1)}
	if f.limit != "" {
		in.Upper = q.read("limit", f.limit, d).SI
	}
	if f.lower != "" {
		in.Lower = q.read("lower-limit", f.lower, d).SI
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	decision, err := checks.Decide(value, expanded, in)
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	a.values["verdict"] = string(decision.Verdict)
	a.set("probability", decision.Probability)
	a.say("value        %s, standard uncertainty u = %s %s", f.value, num(expanded/2), d.SI)
	a.say("guard band   U = 2·u = %s %s on the inside of each limit", num(expanded), d.SI)
	a.say("probability  of conforming: %.4f", decision.Probability)
	a.say("verdict      %s", decision.Verdict)
	return a, nil
}
