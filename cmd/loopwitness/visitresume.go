package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

func newVisitResume(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "resume",
		Short: "Go on with a visit at the very step where it stopped",
		Long: "Go on with a visit that was paused, or whose program was killed: the newest unfinished one unless\n" +
			"--visit names it. If site.yaml was changed since, it says how, and asks whether to take that in: what it\n" +
			"affects is then taken again.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return resumeVisit(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	simulatedTimeFlag(cmd, &o.simulatedTime)
	phoneFlags(cmd, &o.phone)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit")
	cmd.Flags().BoolVar(&o.takeSite, "take-site", false, "take a changed site.yaml in, unasked")
	cmd.Flags().BoolVar(&o.keepSite, "keep-site", false, "go on with what the visit has, whatever site.yaml says")
	return cmd
}

func resumeVisit(ctx context.Context, s streams, o visitOptions) error {
	if err := o.phone.check(o.answers); err != nil {
		return err
	}
	f := job.At(o.job)
	of, err := goesOn(f, o.name)
	if err != nil {
		return advised(f, err)
	}
	running, err := f.Run()
	if err != nil {
		return err
	}
	defer func() { _ = running.Release() }()
	r, err := of.Record()
	if err != nil {
		return err
	}
	if d := r.Discarded(); d != nil {
		return fmt.Errorf("visit %s: %w: %s", of.Name, job.ErrDiscarded, d.Reason)
	}
	s = s.speaking(languages.OfVisit(r))
	config, err := s.config(o, time.Now(), r.Latest())
	if err != nil {
		return err
	}
	changed, st, err := changedSite(ctx, s, f, o, r, config.Operator)
	if err != nil {
		return err
	}
	if config.Source, err = o.source(f, st, config.Clock); err != nil {
		return err
	}
	on, err := s.onPhone(ctx, f, o.phone, config.Operator, paged{simulated: isSimulated(config.Source), resumes: true})
	if err != nil {
		return err
	}
	defer on.Close(true)
	if on != nil {
		config.Operator = on.desk
	}
	config.Refuges, config.Running, config.Photographs = f.Refuges(), running, of.Photographs()
	v, err := visit.Resume(simulated.Join(config), of.Journal())
	if err != nil {
		return err
	}
	if changed != nil {
		if err := v.TakeSite(*changed); err != nil {
			return errors.Join(err, v.Close())
		}
	}
	s.say("%s", s.around(words.VisitGoesOn, of.Name))
	s.practice(config.Source)
	return s.attend(ctx, v, f, of.Name, on)
}

// goesOn is the visit of that name, or the newest unfinished one.
func goesOn(f job.Folder, name string) (job.Visit, error) {
	if name == "" {
		return f.Unfinished()
	}
	return f.Visit(name)
}
