package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
	"loopwitness/report/certificate"
)

func newVisitStart(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "start",
		Short: "Begin a visit",
		Long: "Begin a visit. Every answer and every signal is on disk before the next question; Ctrl-C pauses, and\n" +
			"loopwitness visit resume goes on at the very step. Beside an unfinished visit it asks what is to become\n" +
			"of that one. A retest says first what it takes again, and why. The kinds:\n" +
			"  handover     a system that was just installed\n" +
			"  maintenance  the whole system, at its interval (maintenance: interval in site.yaml)\n" +
			"  retest       what an earlier visit left open, after repair\n" +
			"  take-over    a system that somebody else installed: what site.yaml does not say is read, measured or asked,\n" +
			"               and nothing is assumed\n" +
			"  after-alarm  after an alarm or a failure: what happened, the detectors concerned first; the others may be\n" +
			"               left out with a reason All but a hand-over and a take-over take in\n" +
			"what the job's earlier visits found, and ask first whether what they left outstanding was put right.\n" +
			exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return startVisit(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	simulatedTimeFlag(cmd, &o.simulatedTime)
	phoneFlags(cmd, &o.phone)
	memoryFlags(cmd, &o.memory)
	languageFlag(cmd, &o.language, "that of site.yaml")
	cmd.Flags().StringVar(&o.kind, "kind", "", "handover, maintenance, retest, take-over or after-alarm (needed)")
	cmd.Flags().BoolVar(&o.beside, "beside", false, "begin another beside an unfinished visit, unasked")
	return cmd
}

func startVisit(ctx context.Context, s streams, o visitOptions) error {
	kind, err := o.kindOfVisit()
	if err != nil {
		return err
	}
	if err := o.phone.check(o.answers); err != nil {
		return err
	}
	f := job.At(o.job)
	st, err := f.Site()
	if err != nil {
		return advised(f, err)
	}
	language, err := languageOfSite(o.language, st)
	if err != nil {
		return err
	}
	s = s.speaking(language)
	config, err := s.config(o, time.Now())
	if err != nil {
		return err
	}
	if v, err := besideUnfinished(ctx, s, f, o, config.Operator); errors.Is(err, errResume) {
		o.name = v.Name
		return resumeVisit(ctx, s, o)
	} else if err != nil {
		return err
	}
	running, err := f.Run()
	if err != nil {
		return err
	}
	defer func() { _ = running.Release() }()
	if config.Source, err = o.source(f, st, config.Clock); err != nil {
		return err
	}
	how, err := o.memory.beginning(kind, st, isSimulated(config.Source), config.Clock.Now())
	if err != nil {
		return err
	}
	how.Language = language.Tag()
	remarks, err := f.Beforehand(st, config.Clock.Now(), certificate.Unprintable)
	if err != nil {
		return err
	}
	s.remark(remarks)
	on, err := s.onPhone(ctx, f, o.phone, config.Operator, paged{simulated: isSimulated(config.Source)})
	if err != nil {
		return err
	}
	defer on.Close(true)
	if on != nil {
		config.Operator = on.desk
	}
	config.Running = running
	of, v, err := begin(f, st, how, config, func(opened record.Opened, left []job.LeftOut) {
		s.again(f, opened.Follows, st, opened.Programme)
		s.remembered(opened, st, left)
	})
	if err != nil {
		return advised(f, err)
	}
	s.say("%s", s.around(words.VisitBegun, of.Name, len(v.Record().Opened().Programme), st.Detectors()))
	s.practice(config.Source)
	s.learntTakenIn(f.TakeLearntIn(of, v))
	return s.attend(ctx, v, f, of.Name, on)
}

// learntTakenIn tells how many photographs a visit has from when its site was learnt, and why
// others are left out: none is needed for a visit.
func (s streams) learntTakenIn(taken int, left []error) {
	if taken > 0 {
		s.say("%s", s.around(words.LearntTaken, taken))
	}
	for _, why := range left {
		s.wrapped(s.around(words.LearntLeft, why))
	}
}

func (o visitOptions) kindOfVisit() (programme.VisitKind, error) {
	const kinds = "--kind handover, maintenance, retest, take-over or after-alarm"
	switch kind := programme.VisitKind(o.kind); {
	case slices.Contains(programme.VisitKinds, kind):
		return kind, nil
	case kind != "":
		return "", fmt.Errorf("%q is no kind of visit; take %s", o.kind, kinds)
	}
	return "", errors.New("what kind of visit? Name it with " + kinds)
}

// begin begins a visit of a job in a journal of its own; before it does, say tells what the
// visit takes.
func begin(f job.Folder, st *site.Site, how job.Beginning, c visit.Config, say func(record.Opened, []job.LeftOut)) (
	job.Visit, *visit.Visit, error,
) {
	of, opened, left, err := f.Begin(st, how, c.Clock.Now())
	if err != nil {
		return of, nil, err
	}
	say(opened, left)
	c.Refuges, c.Photographs = f.Refuges(), of.Photographs()
	v, err := visit.Start(simulated.Join(c), of.Journal(), opened)
	return of, v, err
}
