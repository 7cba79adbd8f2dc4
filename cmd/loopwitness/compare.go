package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/report/evidence"
	"loopwitness/report/verify"
)

type compareOptions struct {
	job         string
	trust, time []string
	json        bool
}

func newCompare(s streams) *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:   "compare [FILE|VISIT]…",
		Short: "Compare visits of a system: what got worse, before it fails",
		Long: "Compare visits of a job, by their names, or certificates, by their files; without any, all visits of the\n" +
			"job. The newest is held against the others: responses of detectors, loops, and the supply at the same minute\n" +
			"without mains, each with the uncertainty of both; from four visits on, trends by the test of Mann and Kendall.\n" +
			"The order in which they are named does not matter. A certificate is checked as by: loopwitness verify; what\n" +
			"came of that is told beside it, and gives the exit status. Nothing vouches for a visit in a job's folder.\n" +
			verifyExit + "\nWhat got worse does not change it.",
		RunE: func(_ *cobra.Command, args []string) error { return compareVisits(s, o, args) },
	}
	jobFlag(cmd, &o.job)
	trustFlag(cmd, &o.trust)
	trustTimeFlag(cmd, &o.time)
	cmd.Flags().BoolVar(&o.json, "json", false, "print JSON with keys that name their unit")
	return cmd
}

// comparedVisit is a visit that was named, and where it was taken from.
type comparedVisit struct {
	named  string
	report *verify.Report // of a certificate, nil for a visit of the job
	then   record.Earlier
	site   *site.Site
}

func compareVisits(s streams, o compareOptions, args []string) error {
	trust, err := anchors(o.trust)
	if err != nil {
		return err
	}
	trustTime, err := anchors(o.time)
	if err != nil {
		return err
	}
	f := job.At(o.job)
	if len(args) == 0 {
		if args, err = allVisits(s, f); err != nil {
			return err
		}
	}
	var all []comparedVisit
	count, contradicts := map[verify.Outcome]int{}, 0
	for _, arg := range args {
		v, err := comparedOf(f, arg, verify.Options{Tool: tool, Trust: trust, TrustTime: trustTime})
		if err != nil {
			return err
		}
		if r := v.report; r != nil {
			if count[r.Outcome]++; r.Contradicts {
				contradicts++
			}
			for _, p := range r.Problems {
				fmt.Fprintf(s.err, "%s: %s\n", screen.Clean(arg), screen.Clean(p.Text))
			}
		}
		all = append(all, v)
	}
	all = inTime(all)
	if len(all) < 2 {
		return errors.New("name two visits at least, or certificates; see: " + command(f, "visit show --list"))
	}
	if err := printCompared(s, o, all); err != nil {
		return err
	}
	return outcomeError(count, contradicts)
}

// allVisits are the names of all of a job's visits that can be read and were not set aside.
func allVisits(s streams, f job.Folder) (names []string, err error) {
	visits, err := f.Visits()
	if err != nil {
		return nil, err
	}
	for _, v := range visits {
		r, err := v.Record()
		if err != nil {
			fmt.Fprintln(s.err, screen.Clean(fmt.Sprintf("visit %s is left out: %v", v.Name, err)))
			continue
		}
		if r.Discarded() == nil {
			names = append(names, v.Name)
		}
	}
	return names, nil
}

// comparedOf takes a certificate where a file of that name is there, else a visit.
func comparedOf(f job.Folder, named string, o verify.Options) (comparedVisit, error) {
	if info, err := os.Stat(named); err == nil && !info.IsDir() || strings.HasSuffix(strings.ToLower(named), ".pdf") {
		r := checkFile(named, o)
		if r.Assessment == nil {
			why := "it holds no record that can be read"
			if len(r.Problems) > 0 {
				why = r.Problems[0].Text
			}
			return comparedVisit{}, fmt.Errorf("%s: %s", screen.Clean(named), screen.Clean(why))
		}
		return comparedVisit{named, r, r.Assessment.Remembered(r.Fingerprint), r.Assessment.Record().Site()}, nil
	}
	v, err := f.Visit(named)
	if err != nil {
		return comparedVisit{}, advised(f, err)
	}
	contents, err := v.Contents()
	if err != nil {
		return comparedVisit{}, err
	}
	a, err := evidence.Judge(contents)
	if err != nil {
		return comparedVisit{}, fmt.Errorf("%s: %w", v.Journal(), err)
	}
	if d := a.Record().Discarded(); d != nil {
		return comparedVisit{}, fmt.Errorf("%s was set aside: %s", v.Name, screen.Clean(d.Reason))
	}
	return comparedVisit{named, nil, a.Remembered(evidence.Digest(contents.Whole)), a.Record().Site()}, nil
}

// inTime sorts by when visits were begun, each once: of one that was named twice, the
// certificate stays.
func inTime(all []comparedVisit) []comparedVisit {
	slices.SortStableFunc(all, func(a, b comparedVisit) int {
		return cmp.Or(a.then.Begun.Compare(b.then.Begun), cmp.Compare(a.then.Journal, b.then.Journal), sealedFirst(a, b),
			cmp.Compare(a.named, b.named))
	})
	return slices.CompactFunc(all, func(a, b comparedVisit) bool {
		return a.then.Begun.Equal(b.then.Begun) && a.then.Journal == b.then.Journal
	})
}

func sealedFirst(a, b comparedVisit) int {
	switch {
	case a.report != nil && b.report == nil:
		return -1
	case a.report == nil && b.report != nil:
		return 1
	}
	return 0
}

func printCompared(s streams, o compareOptions, all []comparedVisit) error {
	now := all[len(all)-1]
	var earlier []record.Earlier
	for _, v := range all[:len(all)-1] {
		earlier = append(earlier, v.then)
	}
	since := judge.Compared(earlier, now.then, now.site)
	if o.json {
		return s.json(comparisonOf(all, since))
	}
	rows := [][]string{{"Begun", "Visit", "Number", "Record begins with", "Seal"}}
	for _, v := range all {
		rows = append(rows, []string{v.then.Begun.Local().Format("2006-01-02 15:04"), typedName(v.named),
			typedName(v.then.Number), v.then.Journal[:16], sealOf(v.report)})
	}
	if err := s.wideTable(rows, 44); err != nil {
		return err
	}
	s.say("")
	if reference := all[0].site.Reference; reference != now.site.Reference {
		s.wrapped(fmt.Sprintf("They are of sites with the references %s and %s.", typedName(reference),
			typedName(now.site.Reference)))
	}
	for i, v := range since.Visits {
		if v.Why != "" {
			s.wrapped(all[since.Before+i].named + ": " + english.Say(words.SinceNot{Why: v.Why}))
		}
	}
	if err := s.sinceTable(since, now.site); err != nil {
		return err
	}
	s.notCompared(since)
	for _, l := range since.Lines {
		if l.Trend != nil && (l.Change.Worse() || l.Meets != nil) {
			s.wrapped(english.Say(words.SinceSlope{Of: words.SinceOf{Of: l.Of, After: l.After}, About: l.Detector, Line: l}))
		}
	}
	s.wrapped(english.Say(words.SinceRule{Of: *since}))
	s.wrapped(english.Say(words.ReactionNote))
	return nil
}

// sealOf is what a seal is worth, in a word or two.
func sealOf(r *verify.Report) string {
	switch {
	case r == nil:
		return "none: a visit of the job"
	case r.Signature == nil:
		return string(r.Outcome) + ", unsigned"
	}
	return string(r.Outcome) + ", " + typedName(r.Signature.Name)
}

// sinceTable has what got worse first, then other changes, then the rest.
func (s streams) sinceTable(since *judge.Since, now *site.Site) error {
	rows := [][]string{{"Point", "Detector or supply", "Measured", "Then", "Now", "Difference", "±", "Change"}}
	for rank := range 3 {
		for _, l := range since.Lines {
			if l.Then() != nil && changeRank(l.Change) == rank {
				rows = append(rows, sinceRow(l, now))
			}
		}
	}
	if len(rows) == 1 {
		s.wrapped(english.Say(words.NoneComparedNote))
		return nil
	}
	return s.wideTable(rows, 52)
}

func changeRank(c judge.Change) int {
	switch {
	case c.Worse():
		return 0
	case c != judge.NoChange:
		return 1
	}
	return 2
}

func sinceRow(l judge.SinceLine, now *site.Site) []string {
	point, name, measured := "", english.Say(words.SinceOf{Of: l.Of, After: l.After, Step: mainsStep(l, now)}), ""
	if l.Detector != nil {
		point, name, measured = string(l.Detector.Point), typedName(l.Detector.Name), english.Say(l.Of)
	}
	say := func(v float64, signed bool) string {
		return english.Say(words.SinceValue{Of: l.Of, Value: v, Signed: signed, With: !signed})
	}
	difference, within := "–", "–"
	if l.Two != nil {
		printed, _ := words.SincePrinted(l)
		difference, within = say(printed, true), say(l.Two.Expanded, false)
	}
	return []string{point, name, measured, say(l.Then().Value, false), say(l.Now().Value, false), difference, within,
		english.Say(words.SinceChangeOf(l))}
}

// mainsStep names the step of a voltage with mains present.
func mainsStep(l judge.SinceLine, s *site.Site) *programme.Name {
	if l.Of != judge.MainsSince {
		return nil
	}
	name := programme.NameOf(s, programme.Step{ID: l.Step, Stage: programme.StageSupply, Kind: programme.StepReading})
	return &name
}

// notCompared says for each reason what is not.
func (s streams) notCompared(since *judge.Since) {
	for _, why := range judge.Incomparables {
		not := words.SinceNot{Why: why}
		for _, l := range since.Lines {
			switch {
			case l.Why != why:
			case l.Detector == nil:
				not.Row = append(not.Row, words.SinceOf{Of: l.Of, After: l.After})
			case !slices.Contains(not.Of, l.Detector.Point):
				not.Of = append(not.Of, l.Detector.Point)
			}
		}
		if len(not.Of)+len(not.Row) > 0 {
			s.wrapped(english.Say(not))
		}
	}
}
