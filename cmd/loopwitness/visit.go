package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/collecting"
	"loopwitness/commission/record"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

func newVisit(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "visit", Short: "Run a visit: inspection, walk-test, supply, outputs, hand-over"}
	cmd.AddCommand(newVisitStart(s), newVisitResume(s), newVisitShow(s), newVisitAttach(s), newVisitDetach(s),
		newVisitDiscard(s), newVisitCorrect(s))
	return cmd
}

type visitOptions struct {
	job, answers, kind, name   string
	language                   string
	simulatedTime              bool
	beside, takeSite, keepSite bool
	phone                      phoneOptions
	memory                     memoryOptions
}

// config is what a visit needs, but for its source. Simulated time begins at the latest of
// some times.
func (s streams) config(o visitOptions, times ...time.Time) (visit.Config, error) {
	c, err := o.clock(times...)
	if err != nil {
		return visit.Config{}, err
	}
	operator, err := s.operator(o.answers, c)
	return visit.Config{Operator: operator, Clock: c, Tool: tool, Hurry: secondSignal(),
		Unprintable: certificate.Unprintable}, err
}

// attend runs a visit to its end or pause and says what to do next; the page for a phone is
// off then. The last words are of what is left on.
func (s streams) attend(ctx context.Context, v *visit.Visit, f job.Folder, name string, on *phoneVisit) error {
	defer collecting.WhileListening()()
	err := v.Run(ctx)
	on.Close(err != nil)
	closed := v.Close()
	left := v.LeftOn()
	if err != nil {
		err = s.brokenOff(err, closed, command(f, "visit resume --visit "+name), len(left) > 0)
	} else if err = closed; err == nil {
		err = s.complete(v.Record(), f, name)
	}
	if len(left) == 0 {
		return err
	}
	if err != nil && !errors.As(err, new(told)) {
		printError(s.err, err)
		err = told{err}
	}
	s.say("")
	for _, l := range left {
		s.wrapped(s.language().Say(l))
	}
	return err
}

// brokenOff says how to go on. on tells that something was left on.
func (s streams) brokenOff(err, closed error, resume string, on bool) error {
	switch {
	case errors.Is(err, visit.ErrJournal):
		s.say("") // the operator was told why, and what to do first
		then := words.GoOnInPlace
		if errors.Is(err, journal.ErrLockRemoved) {
			then = words.GoOnWith
		}
		s.wrapped(s.around(then))
		s.say("   %s", resume)
		return told{errors.Join(err, closed)}
	case !errors.Is(err, visit.ErrPaused) && !errors.Is(err, context.Canceled):
		return errors.Join(err, closed, fmt.Errorf("what was answered until now is kept; go on with: %s", resume))
	}
	paused := words.VisitPaused
	if on {
		paused = words.PausedWithOn
	}
	s.say("")
	s.wrapped(s.around(paused))
	s.say("   %s", resume)
	return told{err}
}

// complete says the result of a visit.
func (s streams) complete(r *record.Record, f job.Folder, name string) error {
	a := judge.Assess(r)
	s.say("")
	s.wrapped(s.around(words.VisitComplete, name, a.Result()))
	s.wrapped(s.around(words.CertifyWith))
	s.say("   %s", command(f, "certify --visit "+name))
	return resultError(a)
}

// resultError gives an unsatisfactory result its exit code; it was printed.
func resultError(a *judge.Assessment) error {
	switch a.Result() {
	case judge.Unsatisfactory:
		return told{errUnsatisfactory}
	case judge.NotFinished:
		return told{errNotFinished}
	}
	return nil
}
