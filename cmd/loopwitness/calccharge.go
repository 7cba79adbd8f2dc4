package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/checks"
)

type chargeFlags struct {
	chemistry, voltage, temperature, uncertainty string
	cells                                        int
	charged                                      bool
}

func newCalcCharge(s streams) *cobra.Command {
	f := &chargeFlags{}
	cmd := calculator(
		s,
		"charge",
		"Whether a charging voltage fits a battery",
		"A charging voltage, as it was read at the battery with mains present or as the charger declares it, held\n"+
			"against the cells: danger above every published charge limit (and for lithium below 0 °C), fault where the\n"+
			"battery is never charged, holds where all sources agree, undecided between. A battery that may have been\n"+
			"discharged rightly stands low for hours; with --charged it is given as full. Without a temperature it is\n"+
			"judged at 20 to 25 °C.",
		func([]string) (*answer, error) { return f.compute() },
	)
	cmd.Flags().StringVar(&f.chemistry, "chemistry", string(checks.LeadAcid), strings.Join(checks.Chemistries, ", "))
	cmd.Flags().IntVar(&f.cells, "cells", 0, "cells in series; without it 6, 3 or 4 as usual for 12 V")
	cmd.Flags().StringVar(&f.voltage, "voltage", "", "charging voltage, for example 13.65V")
	cmd.Flags().StringVar(&f.temperature, "temperature", "", "of the battery, for example 20C")
	cmd.Flags().BoolVar(&f.charged, "charged", false, "the battery is given as fully charged")
	cmd.Flags().StringVar(&f.uncertainty, "uncertainty", "0V", "expanded uncertainty (k = 2) of the voltage")
	return cmd
}

// chargeReasons are the reasons in words, with what to do.
var chargeReasons = map[checks.ChargeReason]string{
	"": "inside every published charging range",
	checks.AboveEveryCharge: "above every published charge limit of these cells: fire or gas. Stop charging, " +
		"disconnect the charger, and do not charge again before charger and battery fit",
	checks.AboveUsualCharge: "above the usual charge limit, below the highest published; ask for the maker's figure",
	checks.NeverCharged:     "too low for these cells: this charger never fills the battery",
	checks.BelowEveryFloat:  "below every published float voltage: the battery is not being charged",
	checks.NotFull: "full charge is not reached: still charging, low for the temperature, or a charger set too low; " +
		"read again later",
	checks.Boost: "above float: right for hours of boost or cyclic charge, wrong for weeks; read again later",
	checks.TooCold: "lithium must not be charged below 0 °C: it plates metal and may short inside. Stop charging and " +
		"disconnect the charger",
	checks.TooHot: "warmer than lithium may be charged at (45 °C; 60 °C by the widest source)",
	checks.FloatDisputed: "inside the charging range; makers disagree whether lithium iron phosphate may be held there " +
		"for ever: ask for the maker's figure",
	checks.WithinUncertainty: "nearer to a limit than the reading is certain",
}

func (f *chargeFlags) compute() (*answer, error) {
	var q quantities
	q.need("voltage", f.voltage)
	pack := checks.Pack{Chemistry: q.chemistry("chemistry", f.chemistry), Cells: f.cells}
	volt, uncertainty := q.read("voltage", f.voltage, checks.Voltage).SI, q.read("uncertainty", f.uncertainty,
		checks.Voltage).SI
	celsius := math.NaN()
	if f.temperature != "" {
		celsius = q.read("temperature", f.temperature, checks.Temperature).SI
	}
	if err := q.err(); err != nil {
		return nil, err
	}
	cells, err := pack.InSeries()
	if err != nil {
		return nil, fmt.Errorf("--cells: %w", err)
	}
	c, err := pack.JudgeCharge(volt, uncertainty, celsius, f.charged)
	if err != nil {
		return nil, err
	}
	a := newAnswer()
	a.set("per_cell_volt", c.PerCell)
	a.values["cells"], a.values["verdict"], a.values["reason"] = cells, string(c.Verdict), string(c.Reason)
	a.values["holds_volt"], a.values["widest_volt"] = window(c.Holds), window(c.Widest)
	usual := ""
	if f.cells == 0 {
		usual = " (as usual for 12 V)"
	}
	a.say("per cell    %s V / %d cells in series%s = %s V", num(volt), cells, usual, num(c.PerCell))
	a.say("holds       %s by all sources; %s at most by any", sayWindow(c.Holds), sayWindow(c.Widest))
	a.say("verdict     %s: %s", c.Verdict, chargeReasons[c.Reason])
	a.say("The battery maker's data and the local codes come first.")
	return a, nil
}

// window is an interval in V for JSON, null where nothing holds.
func window(in checks.Interval) any {
	if math.IsNaN(in.Lower) {
		return nil
	}
	exact := func(v float64) float64 { return math.Round(v*1e9) / 1e9 } // cells times volts, without their last digits
	return []float64{exact(in.Lower), exact(in.Upper)}
}

func sayWindow(in checks.Interval) string {
	if math.IsNaN(in.Lower) {
		return "nothing"
	}
	return num(in.Lower) + " to " + num(in.Upper) + " V"
}
