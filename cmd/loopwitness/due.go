package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/site"
	"loopwitness/report/due"
)

const dueExit = `
Exit status: 0 nothing is overdue; 1 something is: a visit, something undertaken, a calibration, or a battery older than
its maker says; 2 nothing that could be read is, but something could not be.`

type dueOptions struct {
	within, on, ics string
	json, practice  bool
}

func newDue(s streams) *cobra.Command {
	var o dueOptions
	cmd := &cobra.Command{
		Use:   "due FOLDER…",
		Short: "List what is due in the folders of many jobs",
		Long: "List what is due in all jobs below some folders: next visits, the overdue first; what is outstanding, the\n" +
			"gravest first, with what was undertaken; batteries by the end of their life; instruments by the end of\n" +
			"their calibration. It reads only. The next visit is counted from the last hand-over, maintenance or\n" +
			"take-over that was finished, by maintenance: interval in site.yaml. Practice counts for nothing.\n" +
			"A job that cannot be read is told and hides no other. Links to folders are not followed.\n" + dueExit,
		Args: cobra.MinimumNArgs(1),
		RunE: withContext(func(ctx context.Context, args []string) error { return listDue(ctx, s, o, args) }),
	}
	cmd.Flags().StringVar(&o.within, "within", "",
		"only what is due within that time: 30d, 6 weeks, 3 months;\nand what is overdue, or of which the day is not known")
	cmd.Flags().StringVar(&o.on, "on", "", "as if it were that day, year-month-day")
	cmd.Flags().StringVar(&o.ics, "ics", "", "write a calendar (iCalendar) into that file instead; - for standard output")
	cmd.Flags().BoolVar(&o.json, "json", false, "print the list as JSON")
	cmd.Flags().BoolVar(&o.practice, "practice", false, "count visits that were practice, too")
	cmd.MarkFlagsMutuallyExclusive("ics", "json")
	return cmd
}

// errNotAllRead says that something could not be read; it was told.
var errNotAllRead = told{errors.New("not everything could be read")}

func listDue(ctx context.Context, s streams, o dueOptions, folders []string) error {
	now := time.Now()
	on := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
	if o.on != "" {
		day, err := time.Parse(time.DateOnly, o.on)
		if err != nil {
			return fmt.Errorf("--on %q is no day; write year-month-day, for example 2027-03-01", o.on)
		}
		on = day
	}
	var days int
	if o.within != "" {
		within, err := site.ParseInterval(o.within)
		if err != nil {
			return fmt.Errorf("--within: %w; for example 30d, 6 weeks, 3 months", err)
		}
		days = due.Days(on, within.After(on))
	}
	jobs, troubles := due.Jobs(folders)
	r, err := due.Look(ctx, jobs, due.Options{On: on, Practice: o.practice})
	if err != nil {
		return err
	}
	r.Troubles = append(troubles, r.Troubles...)
	overdue := r.Overdue()
	if o.within != "" {
		r.Within(days)
	}
	for _, t := range r.Troubles {
		fmt.Fprintf(s.err, "%s: %s\n", screen.Clean(t.Path), screen.Clean(t.Why.Error()))
	}
	switch {
	case o.ics == "-":
		err = write(s.out, []byte(r.Calendar(english, now)))
	case o.ics != "":
		const forAll = 0o644
		if err = atomicfile.Replace(o.ics, []byte(r.Calendar(english, now)), forAll); err == nil {
			s.say("%s written", screen.Clean(o.ics))
		}
	case o.json:
		err = s.json(r.Listed(english))
	default:
		s.due(r)
	}
	switch {
	case err != nil:
		return err
	case overdue:
		return told{errUnsatisfactory}
	case len(r.Troubles) > 0:
		return errNotAllRead
	}
	return nil
}
