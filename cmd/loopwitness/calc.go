package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

func newCalc(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "calc",
		Short: "Compute what the certificate is judged with",
		Long: "Calculators for cables, standby, charging, loops, sound, times, trends, proof and decisions.\n" +
			"Each shows its working; --json gives keys that name their unit.\n\n" +
			"Exit status: 0 computed; 2 not computed.",
	}
	cmd.AddCommand(newCalcCable(s), newCalcStandby(s), newCalcCharge(s), newCalcLoop(s), newCalcSound(s), newCalcTimes(s),
		newCalcTrend(s), newCalcProof(s), newCalcDecide(s))
	return cmd
}

// answer is what a calculator found: values by key, and the working in words.
type answer struct {
	values  map[string]any
	working []string
}

func newAnswer() *answer { return &answer{values: map[string]any{}} }

// set keeps a value; a number that JSON cannot hold is null.
func (a *answer) set(key string, v float64) {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		a.values[key] = nil
		return
	}
	a.values[key] = v
}

func (a *answer) say(format string, args ...any) {
	a.working = append(a.working, fmt.Sprintf(format, args...))
}

func (a *answer) print(s streams, asJSON bool) error {
	if !asJSON {
		s.say("%s", strings.Join(a.working, "\n"))
		return nil
	}
	data, err := json.MarshalIndent(a.values, "", "  ")
	if err != nil {
		return err
	}
	s.say("%s", data)
	return nil
}

// quantities reads flags as quantities and gathers what is wrong with them.
type quantities struct{ errs []string }

func (q *quantities) read(flag, text string, in checks.Dimension) checks.Quantity {
	if text == "" {
		return checks.Quantity{}
	}
	v, err := in.Parse(text)
	q.check(flag, err)
	return v
}

func (q *quantities) check(flag string, err error) {
	if err != nil {
		q.errs = append(q.errs, fmt.Sprintf("--%s: %v", flag, err))
	}
}

// share reads a percentage or a ratio.
func (q *quantities) share(flag, text string) float64 { return q.read(flag, text, checks.Ratio).SI }

func (q *quantities) conductor(flag, text string) checks.Conductor {
	if text == "" {
		return checks.Conductor{}
	}
	c, err := checks.ParseConductor(text)
	q.check(flag, err)
	return c
}

func (q *quantities) chemistry(flag, text string) checks.Chemistry {
	c := checks.Chemistry(text)
	if !c.Known() {
		q.errs = append(q.errs, fmt.Sprintf("--%s: one of %s", flag, strings.Join(checks.Chemistries, ", ")))
	}
	return c
}

func (q *quantities) need(flag, text string) {
	if text == "" {
		q.errs = append(q.errs, fmt.Sprintf("--%s is needed", flag))
	}
}

func (q *quantities) err() error {
	if len(q.errs) == 0 {
		return nil
	}
	return fmt.Errorf("%s", strings.Join(q.errs, "\n"))
}

// num prints a result with four significant digits.
func num(v float64) string {
	switch {
	case math.IsInf(v, 1):
		return "∞"
	case v == 0:
		return "0"
	}
	return fmt.Sprintf("%.4g", v)
}

// calculator makes a command around a computation.
func calculator(s streams, use, short, long string, compute func([]string) (*answer, error)) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   use,
		Short: short,
		Long:  long,
		Args:  cobra.NoArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			a, err := compute(args)
			if err != nil {
				return err
			}
			return a.print(s, asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print JSON with keys that name their unit")
	return cmd
}
