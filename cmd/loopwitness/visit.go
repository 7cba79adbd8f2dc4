package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/visit"
)

func newVisit(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "visit", Short: "Run a visit: inspection, walk-test, supply, outputs, hand-over"}
	cmd.AddCommand(newVisitStart(s), newVisitResume(s), newVisitShow(s), newVisitAttach(s), newVisitDetach(s),
		newVisitDiscard(s), newVisitCorrect(s))
	return cmd
}

type visitOptions struct {
	job, answers, kind, name   string
	simulatedTime              bool
	beside, takeSite, keepSite bool
}

// config is what a visit needs, but for its source. Simulated time begins at the latest of
// some times.
func (s streams) config(o visitOptions, times ...time.Time) (visit.Config, error) {
	c, err := o.clock(times...)
	if err != nil {
		return visit.Config{}, err
	}
	operator, err := s.operator(o.answers, c)
	return visit.Config{Operator: operator, Clock: c, Tool: tool}, err
}

// attend runs a visit to its end or pause and says what to do next.
func (s streams) attend(ctx context.Context, v *visit.Visit, f job.Folder, name string) error {
	err := v.Run(ctx)
	r := v.Record()
	closed := v.Close()
	if err != nil {
		resume := command(f, "visit resume --visit "+name)
		if errors.Is(err, visit.ErrPaused) || errors.Is(err, context.Canceled) {
			s.say("")
			s.wrapped("Paused; nothing is lost. Go on at the same step with:")
			s.say("   %s", resume)
			return told{err}
		}
		return errors.Join(err, closed, fmt.Errorf("what was answered until now is kept; go on with: %s", resume))
	}
	if closed != nil {
		return closed
	}
	a := judge.Assess(r)
	s.say("")
	s.wrapped(fmt.Sprintf("Visit %s is complete: %s.", name, a.Result()))
	s.wrapped("Write its certificate with:")
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
