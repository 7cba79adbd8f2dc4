package main

import (
	"context"
	"errors"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
)

func newVisitCorrect(s streams) *cobra.Command {
	var o visitOptions
	var c record.Corrected
	cmd := &cobra.Command{
		Use:   "correct",
		Short: "Correct what was typed in a visit: a name, licence, remark, reason, note or instrument",
		Long: "Correct what was typed in a visit that is paused or complete: names, licences, positions, remarks,\n" +
			"reasons, notes, captions, and what was said of an instrument; never a reading, an answer or what somebody\n" +
			"accepted.\n" +
			"Both the earlier and the corrected text are shown. Certify it again afterwards: that is a new revision.\n" +
			"Without --entry it lists what can be corrected, and asks for what was not given.\n",
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			f := job.At(o.job)
			v, err := f.Visit(o.name)
			if err != nil {
				return advised(f, err)
			}
			if c.Entry == 0 {
				return correctAsked(ctx, s, f, v, o, c)
			}
			return correct(s, f, v, c)
		}),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit; the newest without it")
	cmd.Flags().IntVar(&c.Entry, "entry", 0, "number of the entry, as it is listed")
	cmd.Flags().StringVar((*string)(&c.Field), "field", "", "what of it, as it is listed")
	cmd.Flags().StringVar(&c.Text, "text", "", "the corrected text")
	cmd.Flags().StringVar(&c.Reason, "reason", "", "why it is corrected (needed)")
	cmd.Flags().StringVar(&c.By, "by", "", "who corrects it (needed)")
	return cmd
}

func correctable(s streams, v job.Visit) ([]record.Typed, error) {
	r, err := v.Record()
	if err != nil {
		return nil, err
	}
	all := r.Correctable()
	rows := [][]string{{"No.", "Entry", "Field", "Of", "Text"}}
	for i, t := range all {
		of := "–"
		if o := r.Find(t.Step); o != nil {
			of = s.nameOfStep(r.Site(), o.Step())
		}
		rows = append(rows, []string{strconv.Itoa(i + 1), strconv.Itoa(t.Entry), string(t.Field), of, t.Text})
	}
	return all, s.table(rows)
}

func correctAsked(ctx context.Context, s streams, f job.Folder, v job.Visit, o visitOptions, c record.Corrected) error {
	all, err := correctable(s, v)
	if err != nil || !s.attended(o.answers) {
		return err
	}
	if len(all) == 0 {
		return errors.New("nothing was typed yet that can be corrected")
	}
	operator, err := s.operator(o.answers, clock.Real{})
	if err != nil {
		return err
	}
	q := &interview{ctx: ctx, operator: operator}
	var numbers []string
	for i := range all {
		numbers = append(numbers, strconv.Itoa(i+1))
	}
	which := q.ask(helped("correct/which", "Which one is corrected? Its number", "", ask.Names{Of: numbers}))
	if c.Text == "" {
		c.Text = q.optional("correct/text", "The corrected text", "")
	}
	if c.Reason == "" {
		c.Reason = q.text("correct/reason", "Why is it corrected?", "both texts and the reason are shown")
	}
	if c.By == "" {
		c.By = q.text("correct/by", "Who corrects it? A name", "")
	}
	if q.err != nil {
		return q.err
	}
	n, err := strconv.Atoi(which)
	if err != nil {
		return err // an answer that was let pass
	}
	t := all[n-1]
	c.Entry, c.Field = t.Entry, t.Field
	return correct(s, f, v, c)
}

func correct(s streams, f job.Folder, v job.Visit, c record.Corrected) error {
	switch err := v.Correct(clock.Real{}, c); {
	case errors.Is(err, journal.ErrHeld):
		return fmt.Errorf("visit %s is running: %w; pause it first (Ctrl-C)", v.Name, err)
	case err != nil:
		return fmt.Errorf("it was not corrected: %w; see what can be: %s", err, command(f, "visit correct --visit "+v.Name))
	}
	r, err := v.Record()
	if err != nil {
		return err
	}
	all := r.Corrections()
	s.wrapped(s.correctionLine(r, all[len(all)-1]))
	if revision, err := v.LastRevision(); err == nil && revision > 0 {
		s.wrapped(fmt.Sprintf("Revision %d of its certificate says what was there before. Write another with:", revision))
		s.say("   %s", command(f, "certify --visit "+v.Name))
	}
	return nil
}
