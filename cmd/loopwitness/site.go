package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/site"
)

func newSite(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "site", Short: "Describe what is fitted at the premises"}
	cmd.AddCommand(newSiteNew(s), newSiteCheck(s), newSiteShow(s))
	return cmd
}

func newSiteCheck(s streams) *cobra.Command {
	var dir string
	var design bool
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Check site.yaml and controller.yaml",
		Long: "Check site.yaml and controller.yaml of a job; every error is shown with its line and column. With --design, compute\n" +
			"what can be computed before the visit: current budget, standby, voltage at each powered detector, loop readings.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			f := job.At(dir)
			st, err := f.Site()
			if err != nil {
				return advised(f, err)
			}
			if _, err := f.Source(st, clock.Real{}); err != nil {
				return err
			}
			s.say("%s: %d zones, %d detectors, %d outputs; nothing is wrong with the files.", screen.Clean(st.Premises.Name), len(st.Zones), st.Detectors(), len(st.Outputs))
			if design {
				return showDesign(s, st)
			}
			return nil
		},
	}
	jobFlag(cmd, &dir)
	cmd.Flags().BoolVar(&design, "design", false, "compute what can be computed before the visit")
	return cmd
}

func newSiteShow(s streams) *cobra.Command {
	var dir string
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Show the zone schedule as a table",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			f := job.At(dir)
			st, err := f.Site()
			if err != nil {
				return advised(f, err)
			}
			return showSite(s, st)
		},
	}
	jobFlag(cmd, &dir)
	return cmd
}

func showSite(s streams, st *site.Site) error {
	s.say("%s, %s\n", screen.Clean(st.Premises.Name), screen.Clean(st.Reference))
	rows := [][]string{{"Point", "Detector", "Kind", "Zone", "Wiring", "Address", "Power"}}
	st.Each(func(p site.Point, z *site.Zone, d *site.Detector) {
		rows = append(rows, []string{string(p), d.Name, string(z.Kind), fmt.Sprintf("%d %s", z.Number, z.Name), wiringOf(z), z.Address, powerOf(d)})
	})
	if err := s.table(rows); err != nil {
		return err
	}
	if len(st.Outputs) == 0 {
		return nil
	}
	s.say("")
	rows = [][]string{{"Output", "Kind", "Where", "Address", "Current", "Follows"}}
	for _, o := range st.Outputs {
		follows := strings.Trim(fmt.Sprint(o.Follows), "[]")
		if follows == "" {
			follows = "–"
		}
		rows = append(rows, []string{o.Name, string(o.Kind), dash(o.Location), dash(o.Address), dash(o.Current.Text), follows})
	}
	return s.table(rows)
}

func wiringOf(z *site.Zone) string {
	text := string(z.Wiring)
	if z.EndOfLine.Given() {
		text += " " + z.EndOfLine.Text
	}
	if z.ContactResistor.Given() {
		text += " + " + z.ContactResistor.Text
	}
	return text
}

func powerOf(d *site.Detector) string {
	if d.Power == nil {
		return "–"
	}
	text := d.Power.Current.Text
	if d.Power.CableLength.Given() {
		text += ", " + d.Power.CableLength.Text
	}
	if d.Power.Conductor.Text != "" {
		text += " " + d.Power.Conductor.Text
	}
	return text
}

func dash(text string) string {
	if text == "" {
		return "–"
	}
	return text
}
