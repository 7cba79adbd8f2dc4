package main

import (
	"context"
	"errors"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/checks"
	"loopwitness/commission/job"
	"loopwitness/commission/programme"
)

func newRehearse(s streams) *cobra.Command {
	var dir, hold string
	cmd := &cobra.Command{
		Use:   "rehearse",
		Short: "Practise a visit on the simulated controller",
		Long: "Practise the hand-over visit of the invented pottery studio: you answer, the simulated controller and\n" +
			"the hands that operate its detectors do the rest, in real time. An unfinished rehearsal goes on where\n" +
			"it stopped.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return rehearse(ctx, s, dir, hold) }),
	}
	cmd.Flags().StringVar(&dir, "job", "loopwitness-rehearsal", "folder to write the rehearsal's job to")
	cmd.Flags().StringVar(&hold, "hold", "30 s", "how long mains stays removed")
	return cmd
}

func rehearse(ctx context.Context, s streams, dir, hold string) error {
	if _, err := checks.Time.Parse(hold); err != nil {
		return err
	}
	f := job.At(dir)
	if v, err := f.Unfinished(); err == nil {
		return resumeVisit(ctx, s, visitOptions{job: dir, name: v.Name})
	} else if !errors.Is(err, job.ErrNone) {
		return advised(f, err)
	}
	fitted := fittedBefore(time.Now())
	shorter := func(text string) string { return fitted(strings.Replace(text, "hold: 10 min", "hold: "+hold, 1)) }
	if err := layOut(f, shorter); err != nil {
		return err
	}
	return startVisit(ctx, s, visitOptions{job: dir, kind: string(programme.Handover)})
}
