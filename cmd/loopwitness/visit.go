package main

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

func newVisit(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "visit", Short: "Run a visit: inspection, walk-test, supply, outputs, hand-over"}
	cmd.AddCommand(newVisitStart(s), newVisitResume(s), newVisitShow(s), newVisitAttach(s))
	return cmd
}

type visitOptions struct{ job, answers, kind, name string }

func newVisitStart(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "start",
		Short: "Begin a visit",
		Long: "Begin a visit. Every answer and every signal is on disk before the next question; Ctrl-C pauses, and\n" +
			"loopwitness visit resume goes on at the very step.\n" + exitStatus,
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error { return startVisit(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	cmd.Flags().StringVar(&o.kind, "kind", "", "handover, maintenance or retest (needed)")
	return cmd
}

func startVisit(ctx context.Context, s streams, o visitOptions) error {
	kind := programme.VisitKind(o.kind)
	if !slices.Contains(programme.VisitKinds, kind) {
		if o.kind != "" {
			return fmt.Errorf("%q is no kind of visit; take --kind handover, --kind maintenance or --kind retest", o.kind)
		}
		return errors.New("what kind of visit? Name it with --kind handover, --kind maintenance or --kind retest")
	}
	f := job.At(o.job)
	c := clock.Real{}
	st, err := f.Site()
	if err != nil {
		return advised(f, err)
	}
	config, err := s.config(o.answers, c)
	if err != nil {
		return err
	}
	if config.Source, err = f.Source(st, c); err != nil {
		return err
	}
	of, opened, err := f.New(st, kind, c.Now())
	if err != nil {
		return advised(f, err)
	}
	v, err := visit.Start(config, of.Journal(), opened)
	if err != nil {
		return err
	}
	s.say("Visit %s begun: %d steps, %d detectors.", of.Name, len(opened.Programme), st.Detectors())
	return s.attend(ctx, v, f, of.Name)
}

// config is what a visit needs, but for its source.
func (s streams) config(answers string, c clock.Clock) (visit.Config, error) {
	operator, err := s.operator(answers, c)
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
	if a.Result() == judge.Unsatisfactory {
		return told{errUnsatisfactory}
	}
	return nil
}

func newVisitResume(s streams) *cobra.Command {
	var o visitOptions
	cmd := &cobra.Command{
		Use:   "resume",
		Short: "Go on with a visit at the very step where it stopped",
		Long:  "Go on with a visit that was paused, or whose program was killed: the newest unfinished one unless --visit names it.\n" + exitStatus,
		Args:  cobra.NoArgs,
		RunE:  withContext(func(ctx context.Context, _ []string) error { return resumeVisit(ctx, s, o) }),
	}
	jobFlag(cmd, &o.job)
	answersFlag(cmd, &o.answers)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit")
	return cmd
}

func resumeVisit(ctx context.Context, s streams, o visitOptions) error {
	f := job.At(o.job)
	c := clock.Real{}
	of, err := goesOn(f, o.name)
	if err != nil {
		return advised(f, err)
	}
	r, err := of.Record()
	if err != nil {
		return err
	}
	config, err := s.config(o.answers, c)
	if err != nil {
		return err
	}
	// The site is the one that the visit began with, whatever became of the file.
	if config.Source, err = f.Source(r.Site(), c); err != nil {
		return err
	}
	v, err := visit.Resume(config, of.Journal())
	if err != nil {
		return err
	}
	s.say("Visit %s goes on.", of.Name)
	return s.attend(ctx, v, f, of.Name)
}

// goesOn is the visit of that name, or the newest unfinished one.
func goesOn(f job.Folder, name string) (job.Visit, error) {
	if name == "" {
		return f.Unfinished()
	}
	return f.Visit(name)
}

func newVisitShow(s streams) *cobra.Command {
	var o visitOptions
	var list bool
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Show how a visit stands",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if list {
				return listVisits(s, job.At(o.job))
			}
			return showVisit(s, job.At(o.job), o.name)
		},
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit; the newest without it")
	cmd.Flags().BoolVar(&list, "list", false, "list the job's visits")
	return cmd
}

func listVisits(s streams, f job.Folder) error {
	visits, err := f.Visits()
	if err != nil {
		return err
	}
	rows := [][]string{{"Visit", "Begun", "Open steps", "Result so far"}}
	for _, v := range visits {
		r, err := v.Record()
		if err != nil { // one that cannot be read must not hide the others
			rows = append(rows, []string{v.Name, "–", "–", "cannot be read; see visit show --visit " + v.Name})
			continue
		}
		_, open := r.Count("")
		rows = append(rows, []string{v.Name, r.Begun().Local().Format("2006-01-02 15:04"), fmt.Sprint(open), string(judge.Assess(r).Result())})
	}
	return s.table(rows)
}

func (s streams) table(rows [][]string) error { return s.wideTable(rows, 34) }

// wideTable prints a table whose columns are at most that wide.
func (s streams) wideTable(rows [][]string, widest int) error {
	limits := make([]int, len(rows[0]))
	for i := range limits {
		limits[i] = widest
	}
	for _, l := range screen.Table(rows, limits, terminal.Columns(s.out)) {
		s.say("%s", l)
	}
	return nil
}

// wrapped prints a text from outside, made fit for a screen.
func (s streams) wrapped(text string) {
	for _, l := range screen.Wrap(screen.Clean(text), s.width()) {
		s.say("%s", l)
	}
}

// width is how long a printed line may be.
func (s streams) width() int {
	const widest = 100
	if w := terminal.Columns(s.out); w > 0 {
		return max(30, min(widest, w-1))
	}
	return widest
}

func showVisit(s streams, f job.Folder, name string) error {
	v, err := f.Visit(name)
	if err != nil {
		return advised(f, err)
	}
	r, err := v.Record()
	if err != nil {
		return err
	}
	a := judge.Assess(r)
	s.say("Visit %s, %s, begun %s, %d entries", v.Name, r.Opened().Visit, r.Begun().Local().Format("2006-01-02 15:04"), r.Entries())
	all, open := r.Count("")
	s.say("Result so far: %s; %d of %d steps open\n", a.Result(), open, all)
	rows := [][]string{{"Point", "Detector", "Zone", "Response", "Restored", "Trials", "Verdict"}}
	for _, d := range a.Detectors() {
		rows = append(rows, []string{string(d.Name.Point), d.Detector.Name, fmt.Sprintf("%d %s", d.Zone.Number, d.Zone.Name),
			timeOf(d.Operated), timeOf(d.Restored), fmt.Sprint(d.Trials), string(d.Verdict)})
	}
	if err := s.table(rows); err != nil {
		return err
	}
	for _, f := range append(slices.Clone(a.Findings()), a.Limitations()...) {
		s.wrapped(words.Line(english, f))
	}
	if next := r.Next(); next != nil {
		s.say("\nNext: %s, %s", next.Step().Stage, screen.Clean(english.Say(programme.NameOf(r.Site(), next.Step()))))
	}
	return nil
}

func timeOf(j record.Judgement) string {
	if !j.Answered() {
		return "–"
	}
	return fmt.Sprintf("%.2f s", j.Response.Seconds())
}
