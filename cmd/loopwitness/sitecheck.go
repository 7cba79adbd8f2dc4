package main

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/beforehand"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/site"
	"loopwitness/report/certificate"
)

func newSiteCheck(s streams) *cobra.Command {
	var dir string
	var design, connect bool
	var listen time.Duration
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Check site.yaml and controller.yaml",
		Long: "Check site.yaml and controller.yaml of a job; every error is shown with its line and column, and what\n" +
			"reads well and cannot work (a zone that no signal reaches, a charger that does not fit), or may not be meant\n" +
			"(a battery beyond its life). With --design, compute what can be computed before the visit: current budget,\n" +
			"standby, voltage at each powered detector, loop readings. With --connect, try broker, credentials, topics and\n" +
			"what switches outputs off if this computer fails, and tell what comes.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			f := job.At(dir)
			st, err := checkSite(s, f, design)
			if st == nil || !connect {
				return err
			}
			if failed := tryConnection(ctx, s, f, st, listen); failed != nil {
				return failed
			}
			return err
		}),
	}
	jobFlag(cmd, &dir)
	cmd.Flags().BoolVar(&design, "design", false, "compute what can be computed before the visit")
	cmd.Flags().BoolVar(&connect, "connect", false, "connect to the controller and tell what comes; nothing is switched")
	cmd.Flags().DurationVar(&listen, "for", 30*time.Second, "how long to listen with --connect; Ctrl-C ends it early")
	return cmd
}

// checkSite checks the files; the site is nil if they cannot be read.
func checkSite(s streams, f job.Folder, design bool) (*site.Site, error) {
	st, err := f.Site()
	if err != nil {
		return nil, advised(f, err)
	}
	if _, err := f.Logo(st); err != nil {
		return nil, err
	}
	if _, err := f.Source(st, clock.Real{}); err != nil {
		return nil, err
	}
	remarks, err := f.Beforehand(st, time.Now(), certificate.Unprintable)
	if err != nil {
		return nil, err
	}
	s.remark(remarks)
	nothing := ""
	if len(remarks) == 0 {
		nothing = "; nothing is wrong with the files"
	}
	s.say("%s: %d zones, %d detectors, %d outputs%s.", typedName(st.Premises.Name), len(st.Zones), st.Detectors(),
		len(st.Outputs), nothing)
	s.sayReused(st)
	config, err := f.Config(st)
	if err != nil {
		return nil, err
	}
	if err := s.showSafety(st, config); err != nil {
		return nil, err
	}
	if design {
		err = showDesign(s, st)
	}
	if beforehand.Grave(remarks) {
		return st, told{errCannotWork}
	}
	return st, err
}

// sayReused tells which cables are those of an older system, and that the file does not say it.
func (s streams) sayReused(st *site.Site) {
	if n := len(st.ReusedZones()); n > 0 {
		s.say("Cables of an older system: %d of %d; a hand-over measures them before anything is connected.", n,
			len(st.Zones))
	}
	if n := len(st.UnsaidZones()); n > 0 {
		s.say("Of %d of %d zones it does not say whether the cable is that of an older system (cables: reused: yes or no): "+
			"a limitation of a hand-over.", n, len(st.Zones))
	}
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
