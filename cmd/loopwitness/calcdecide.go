package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type decideFlags struct {
	value, expanded, limit, lower string
	uncertainty                   []string
	freedom                       float64
}

func newCalcDecide(s streams) *cobra.Command {
	f := &decideFlags{}
	cmd := calculator(
		s,
		"decide",
		"Whether a measured value is within its limit",
		"Hold a value with its uncertainty against a limit (JCGM 106): pass if it is inside by the expanded\n"+
			"uncertainty (k = 2), fail if it is outside by it, else undecided; with the probability of conformity.\n"+
			"Several uncertainties are combined (JCGM 100); with --freedom, k is Student's t at 95.45 %.",
		func([]string) (*answer, error) { return f.compute() },
	)
	cmd.Flags().StringVar(&f.value, "value", "", "measured value, for example 1.96s")
	cmd.Flags().StringArrayVar(&f.uncertainty, "uncertainty", nil, "its standard uncertainty (k = 1); may be repeated")
	cmd.Flags().Float64Var(&f.freedom, "freedom", 0, "degrees of freedom of the uncertainty, if few")
	cmd.Flags().StringVar(&f.expanded, "expanded", "", "its expanded uncertainty (k = 2), instead")
	cmd.Flags().StringVar(&f.limit, "limit", "", "upper limit")
	cmd.Flags().StringVar(&f.lower, "lower-limit", "", "lower limit")
	return cmd
}

// dimensions that a value may be of.
var dimensions = []checks.Dimension{checks.Time, checks.Voltage, checks.Current, checks.Resistance, checks.SoundLevel,
	checks.Capacity, checks.Ratio}

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
	return checks.Dimension{}, fmt.Errorf(
		"value, uncertainty and limit must be of one kind, each with its unit, for example 1.96s, 50ms, 2s; got %q",
		texts)
}

func (f *decideFlags) compute() (*answer, error) {
	var q quantities
	q.need("value", f.value)
	if f.limit == "" && f.lower == "" {
		q.errs = append(q.errs, "--limit or --lower-limit is needed")
	}
	if (len(f.uncertainty) == 0) == (f.expanded == "") {
		q.errs = append(q.errs, "--uncertainty is needed, or --expanded instead")
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	d, err := dimension(append([]string{f.value, f.expanded, f.limit, f.lower}, f.uncertainty...)...)
	if err != nil {
		return nil, err
	}
	value := q.read("value", f.value, d).SI
	parts := []checks.Contribution{{Standard: q.read("expanded", f.expanded, d).SI / 2}}
	for _, text := range f.uncertainty {
		parts = append(parts, checks.Contribution{Standard: q.read("uncertainty", text, d).SI})
	}
	in := checks.Interval{Lower: math.Inf(-1), Upper: math.Inf(1)}
	if f.limit != "" {
		in.Upper = q.read("limit", f.limit, d).SI
	}
	if f.lower != "" {
		in.Lower = q.read("lower-limit", f.lower, d).SI
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	standard, _, err := checks.Combined(parts...)
	if err != nil {
		return nil, err
	}
	k := 2.0
	if f.freedom != 0 {
		if k, err = checks.CoverageFactor(0.9545, f.freedom); err != nil {
			return nil, fmt.Errorf("--freedom: %w", err)
		}
	}
	decision, err := checks.DecideAt(value, standard, k, in)
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	a.values["verdict"] = string(decision.Ruling)
	a.set("probability", decision.Probability)
	a.set("coverage_factor", k)
	a.say("value        %s, standard uncertainty u = %s %s", f.value, num(standard), d.SI)
	a.say("guard band   U = k·u = %s × %s = %s %s on the inside of each limit", num(k), num(standard),
		num(k*standard), d.SI)
	a.say("probability  of conforming: %.4f (normal distribution)", decision.Probability)
	a.say("verdict      %s", decision.Ruling)
	return a, nil
}
