package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
)

func newVisitDetach(s streams) *cobra.Command {
	var o visitOptions
	var t record.TakenBack
	cmd := &cobra.Command{
		Use:   "detach NAME",
		Short: "Take back a photograph that was added to a visit",
		Long: "Take back a photograph that was added to a visit, by its name, such as photograph-3.jpg. The kept copy is\n" +
			"removed, and the certificate carries it no more; that it was there, and why it is not, stays in the journal and\n" +
			"stands on the pages. Of a visit that is running, set aside or certified nothing is taken back.",
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			t.Name = args[0]
			if strings.TrimSpace(t.Reason) == "" {
				return errors.New("for what reason? Say it with --reason")
			}
			if t.By == "" {
				t.By = account()
			}
			return takeBack(s, o, t)
		},
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit; the newest without it")
	cmd.Flags().StringVar(&t.Reason, "reason", "", "why it is taken back (needed)")
	cmd.Flags().StringVar(&t.By, "by", "", "who takes it back; the name of the user's account without it")
	return cmd
}

func takeBack(s streams, o visitOptions, t record.TakenBack) error {
	f := job.At(o.job)
	v, err := f.Visit(o.name)
	if err != nil {
		return advised(f, err)
	}
	switch err := v.TakeBack(clock.Real{}, t); {
	case errors.Is(err, journal.ErrHeld):
		return fmt.Errorf("visit %s is running: %w; pause it first (Ctrl-C)", v.Name, err)
	case errors.Is(err, job.ErrCertified):
		return fmt.Errorf("nothing is taken back: %w", err)
	case err != nil:
		return err
	}
	s.wrapped(screen.Clean(fmt.Sprintf("%s of visit %s is taken back: %s. Your own file is unchanged.", t.Name, v.Name,
		t.Reason)))
	return nil
}
