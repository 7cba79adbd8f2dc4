package main

import (
	"errors"
	"fmt"
	"os/user"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

func newVisitDiscard(s streams) *cobra.Command {
	var o visitOptions
	var d record.Discarded
	cmd := &cobra.Command{
		Use:   "discard",
		Short: "Set a visit aside that was begun by mistake",
		Long: "Set a visit aside that was begun by mistake: the newest unfinished one unless --visit names it. Nothing is\n" +
			"deleted; the reason is written at the end of its journal. Nobody goes on with it, no retest follows it, and\n" +
			"it gets no certificate. A visit that is running, complete or certified cannot be set aside.",
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if strings.TrimSpace(d.Reason) == "" {
				return errors.New("for what reason? Say it with --reason")
			}
			f := job.At(o.job)
			v, err := goesOn(f, o.name)
			if err != nil {
				return advised(f, err)
			}
			if d.By == "" {
				d.By = account()
			}
			return discard(s, f, v, clock.Real{}, d)
		},
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit")
	cmd.Flags().StringVar(&d.Reason, "reason", "", "why it is set aside (needed)")
	cmd.Flags().StringVar(&d.By, "by", "", "who sets it aside; the name of the user's account without it")
	return cmd
}

// account is the name of whoever runs the program, as this computer knows it; "" if it
// does not.
func account() string {
	u, err := user.Current()
	if err != nil {
		return ""
	}
	return u.Username
}

func discard(s streams, f job.Folder, v job.Visit, c clock.Clock, d record.Discarded) error {
	r, err := v.Record()
	if err != nil {
		return err
	}
	switch err := v.Discard(c, d); {
	case errors.Is(err, journal.ErrHeld):
		return fmt.Errorf("visit %s is running: %w; pause it first (Ctrl-C)", v.Name, err)
	case errors.Is(err, job.ErrCertified):
		return fmt.Errorf("visit %s cannot be set aside: %w", v.Name, err)
	case errors.Is(err, record.ErrNoSense) && r.Done():
		return fmt.Errorf("visit %s is complete; it cannot be set aside. Certify it with: %s", v.Name,
			command(f, "certify --visit "+v.Name))
	case err != nil:
		return err
	}
	s.wrapped(fmt.Sprintf("Visit %s is set aside: %s. Nothing of it was deleted.", v.Name,
		english.Say(words.Remarked(d.Reason))))
	if !r.MainsOff().IsZero() {
		s.wrapped("Mains was removed in it and not given back: make sure that it is.")
	}
	if !r.BatteryOff().IsZero() {
		s.wrapped("In it the battery was disconnected and not connected again: make sure that it is.")
	}
	if on := r.Energised(); len(on) > 0 {
		s.wrapped("In it was switched on and not off again: " + strings.Join(on, ", ") + ". Make sure that it is off.")
	}
	return nil
}
