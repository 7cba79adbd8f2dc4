package main

import (
	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
)

func newSiteCheck(s streams) *cobra.Command {
	var dir string
	var design bool
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Check site.yaml and controller.yaml",
		Long: "Check site.yaml and controller.yaml of a job; every error is shown with its line and column. With\n" +
			"--design, compute what can be computed before the visit: current budget, standby, voltage at each powered\n" +
			"detector, loop readings.\n" + exitStatus,
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
			s.say("%s: %d zones, %d detectors, %d outputs; nothing is wrong with the files.",
				screen.Clean(st.Premises.Name), len(st.Zones), st.Detectors(), len(st.Outputs))
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
