package main

import (
	"context"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/visit"
)

func newVisitResume(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "resume",
		Short: "Go on with a visit at the very step where it stopped",
		Long: "Go on with a visit that was paused, or whose program was killed: the newest unfinished one unless\n" +
			"--visit names it.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return resumeVisit(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	simulatedTimeFlag(cmd, &o.simulatedTime)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit")
	return cmd
}

func resumeVisit(ctx context.Context, s streams, o visitOptions) error {
	f := job.At(o.job)
	of, err := goesOn(f, o.name)
	if err != nil {
		return advised(f, err)
	}
	r, err := of.Record()
	if err != nil {
		return err
	}
	c, err := o.clock(time.Now(), r.Latest())
	if err != nil {
		return err
	}
	config, err := s.config(o.answers, c)
	if err != nil {
		return err
	}
	// The site is the one that the visit began with, whatever became of the file.
	if config.Source, err = o.source(f, r.Site(), c); err != nil {
		return err
	}
	v, err := visit.Resume(simulated.Join(config), of.Journal())
	if err != nil {
		return err
	}
	s.say("Visit %s goes on.", of.Name)
	return s.attend(ctx, v, f, of.Name)
}

// goesOn is the visit of that name, or the newest unfinished one.
func goesOn(f job.Folder, name string) (job.Visit, error) {
	if name == "" {
		return f.Unfinished()
	}
	return f.Visit(name)
}
