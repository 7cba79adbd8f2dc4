package main

import (
	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type proofFlags struct {
	trials, misses   int
	confidence, show string
}

func newCalcProof(s streams) *cobra.Command {
	f := &proofFlags{}
	cmd := calculator(
		s,
		"proof",
		"What a number of trials proves",
		"The exact (Clopper–Pearson) bounds, one-sided each, on the probability that an operation is reported, and\n"+
			"how many trials without a miss would show a probability.",
		func([]string) (*answer, error) { return f.compute() },
	)
	cmd.Flags().IntVar(&f.trials, "trials", 0, "number of operations")
	cmd.Flags().IntVar(&f.misses, "misses", 0, "how many of them were not reported")
	cmd.Flags().StringVar(&f.confidence, "confidence", "95%", "confidence of each bound")
	cmd.Flags().StringVar(&f.show, "show", "99%", "probability that is to be shown")
	return cmd
}

func (f *proofFlags) compute() (*answer, error) {
	var q quantities
	confidence, show := q.share("confidence", f.confidence), q.share("show", f.show)
	if err := q.err(); err != nil {
		return nil, err
	}
	lower, err := checks.ProportionLowerBound(f.trials-f.misses, f.trials, confidence)
	if err != nil {
		return nil, err
	}
	upper, err := checks.ProportionUpperBound(f.trials-f.misses, f.trials, confidence)
	if err != nil {
		return nil, err
	}
	needed, err := checks.TrialsNeeded(show, confidence)
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	a.set("lower_bound", lower)
	a.set("upper_bound", upper)
	a.values["trials_needed"] = needed
	a.say("%d of %d operations were reported", f.trials-f.misses, f.trials)
	a.say("at least    %.4f of all are, at %s confidence (exact binomial, one-sided)", lower, f.confidence)
	a.say("at most     %.4f of all are, likewise", upper)
	a.say("to show %s  ⌈ln(1 − C)/ln R⌉ = %d trials without a miss", f.show, needed)
	return a, nil
}
