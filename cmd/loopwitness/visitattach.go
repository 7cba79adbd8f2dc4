package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// aboutForms says how --about is written.
const aboutForms = "zone/3, detector/3.1, output/NAME, supply, controller or site"

func newVisitAttach(s streams) *cobra.Command {
	var o visitOptions
	var about, caption string
	cmd := &cobra.Command{
		Use:   "attach FILE",
		Short: "Add a photograph to a visit",
		Long: fmt.Sprintf("Add a photograph (JPEG or PNG, at most %d MiB) to a visit that is paused or complete. The\n"+
			"place where it was taken and other hidden data are removed, the picture itself is kept as it is. It is\n"+
			"printed small on the certificate and attached to it in full. One whose kept copy was lost is put back.\n"+
			"Take one back with: loopwitness visit detach", photograph.MaxBytes>>20),
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return attachPhotograph(s, o, args[0], about, caption) },
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit; the newest without it")
	cmd.Flags().StringVar(&about, "about", "", "what it shows: "+aboutForms+" (needed)")
	cmd.Flags().StringVar(&caption, "caption", "", "a line below it")
	return cmd
}

func attachPhotograph(s streams, o visitOptions, file, about, caption string) error {
	if about == "" {
		return fmt.Errorf("what does the photograph show? Name it with --about: %s", aboutForms)
	}
	f := job.At(o.job)
	v, err := f.Visit(o.name)
	if err != nil {
		return advised(f, err)
	}
	content, err := photograph.ReadFile(file)
	if err != nil {
		return err
	}
	added, err := v.Attach(clock.Real{}, record.About(about), caption, content)
	switch {
	case errors.Is(err, journal.ErrHeld):
		return fmt.Errorf("%w; pause the visit first (Ctrl-C), add the photograph, and go on with: %s", err,
			command(f, "visit resume --visit "+v.Name))
	case err != nil:
		return fmt.Errorf("%s: %w", file, err)
	}
	s.say("%s of visit %s: %d × %d pixels, %.1f MB", added.Name, v.Name, added.Width, added.Height,
		float64(added.Bytes)/1e6)
	if len(added.Removed) > 0 {
		what := words.List{By: words.And}
		for _, h := range added.Removed {
			what.Of = append(what.Of, h)
		}
		s.say("Removed from the kept copy: %s. Your own file is unchanged.", english.Say(what))
	}
	return nil
}
