package main

import (
	"errors"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/beforehand"
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
		Long: "Check site.yaml and controller.yaml of a job; every error is shown with its line and column, and what\n" +
			"reads well and cannot work (a zone that no signal reaches, a charger that does not fit), or may not be meant\n" +
			"(a battery beyond its life). With --design, compute what can be computed before the visit: current budget, standby, voltage at each powered\n" +
			"detector, loop readings.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return checkSite(s, job.At(dir), design)
		},
	}
	jobFlag(cmd, &dir)
	cmd.Flags().BoolVar(&design, "design", false, "compute what can be computed before the visit")
	return cmd
}

func checkSite(s streams, f job.Folder, design bool) error {
	st, err := f.Site()
	if err != nil {
		return advised(f, err)
	}
	if _, err := f.Source(st, clock.Real{}); err != nil {
		return err
	}
	remarks, err := f.Beforehand(st, time.Now())
	if err != nil {
		return err
	}
	s.remark(remarks)
	nothing := ""
	if len(remarks) == 0 {
		nothing = "; nothing is wrong with the files"
	}
	s.say("%s: %d zones, %d detectors, %d outputs%s.", screen.Clean(st.Premises.Name), len(st.Zones), st.Detectors(),
		len(st.Outputs), nothing)
	if design {
		err = showDesign(s, st)
	}
	if beforehand.Grave(remarks) {
		return told{errCannotWork}
	}
	return err
}

// errCannotWork says that the files of a job read well and cannot work.
var errCannotWork = errors.New("the files cannot work as they are")

// remark prints what there is to be looked at before a visit, the gravest first.
func (s streams) remark(remarks []beforehand.Remark) {
	for _, r := range remarks {
		for line := range strings.Lines(r.String()) {
			s.wrapped(strings.TrimSuffix(line, "\n"))
		}
	}
}
