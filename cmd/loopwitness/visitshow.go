package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

func newVisitShow(s streams) *cobra.Command {
	var o visitOptions
	var list, all bool
	cmd := &cobra.Command{
		Use:   "show",
		Short: "Show how a visit stands",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if list || all {
				return listVisits(s, job.At(o.job), all)
			}
			return showVisit(s, job.At(o.job), o.name)
		},
	}
	jobFlag(cmd, &o.job)
	cmd.Flags().StringVar(&o.name, "visit", "", "name of the visit; the newest without it")
	cmd.Flags().BoolVar(&list, "list", false, "list the job's visits")
	cmd.Flags().BoolVar(&all, "all", false, "list them with those that were set aside")
	return cmd
}

func listVisits(s streams, f job.Folder, all bool) error {
	visits, err := f.Visits()
	if err != nil {
		return err
	}
	if st, err := f.Site(); err == nil { // else in English
		s = s.speaking(languages.OfSite(st))
	}
	rows := [][]string{strings.Split(s.around(words.ListHead), "|")}
	aside := 0
	for _, v := range visits {
		r, err := v.Record()
		if err != nil { // one that cannot be read must not hide the others
			rows = append(rows, []string{v.Name, "–", "–", s.around(words.ListUnread, "visit show --visit "+v.Name)})
			continue
		}
		_, open := r.Count("")
		result := s.language().Say(judge.Assess(r).Result())
		if d := r.Discarded(); d != nil {
			if aside++; !all {
				continue
			}
			result = s.around(words.SetAsideSo, words.Remarked(d.Reason))
		}
		rows = append(rows, []string{v.Name, r.Begun().Local().Format("2006-01-02 15:04"), fmt.Sprint(open), result})
	}
	if err := s.table(rows); err != nil {
		return err
	}
	if aside > 0 && !all {
		s.say("%s", s.around(words.SetAsideCount, aside, command(f, "visit show --all")))
	}
	return nil
}

func showVisit(s streams, f job.Folder, name string) error {
	v, err := f.Visit(name)
	if err != nil {
		return advised(f, err)
	}
	if err := s.twins(f, v); err != nil {
		return err
	}
	contents, err := v.Contents()
	if err != nil {
		return err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return fmt.Errorf("%s: %w", v.Journal(), err)
	}
	s = s.speaking(languages.OfVisit(r))
	a := judge.Without(r, v.Lost(r)...)
	s.say("%s", s.around(words.ShownVisit, v.Name, r.Opened().Visit, r.Begun().Local().Format("2006-01-02 15:04"),
		r.Entries()))
	if torn := tornJournal(contents); torn != "" {
		s.wrapped(torn)
	}
	if open, all := a.Open(); open > 0 {
		s.say("%s\n", s.around(words.ShownOpen, words.StillOpen{Open: open, All: all}))
	} else {
		s.say("%s\n", s.around(words.ShownResult, a.Result()))
	}
	s.wrapped(s.language().Say(words.Titled{Of: words.NextLabel}) + ": " + s.language().Say(words.NextDue{Of: a.Next()}))
	s.slips(r)
	s.again(f, r.Opened().Follows, r.Site(), r.Programme())
	s.outstanding(a)
	rows := [][]string{strings.Split(s.around(words.DetectorsHead), "|")}
	for _, d := range a.Detectors() {
		rows = append(rows, []string{string(d.Name.Point), s.named(d.Detector.Name),
			fmt.Sprintf("%d %s", d.Zone.Number, s.named(d.Zone.Name)),
			s.timeOf(d.Operated), s.timeOf(d.Restored), fmt.Sprint(d.Trials), s.language().Say(d.Verdict)})
	}
	if err := s.table(rows); err != nil {
		return err
	}
	if c := a.Cues(); c.ByPhone() || c.NotTimed > 0 {
		s.wrapped(s.language().Say(words.CuesGiven{Of: c}))
	}
	if devices := r.Devices(); len(devices) > 0 {
		s.wrapped(
			s.language().Say(words.Titled{Of: words.DevicesLabel}) + ": " + s.language().Say(words.Devices{Of: devices}),
		)
	}
	for _, f := range slices.Concat(a.Findings(), a.Limitations(), a.Notes()) {
		s.wrapped(s.listed(f))
		if line := s.todo(a, f); line != "" {
			s.wrapped(line)
		}
	}
	if next := r.Next(); next != nil && r.Discarded() == nil {
		s.say("\n%s", s.around(words.ShownNext, next.Step().Stage, screen.Clean(s.nameOfStep(r.Site(), next.Step()))))
	}
	return nil
}

// listed is a finding with how grave it is and what to do. A note limits nothing.
func (s streams) listed(f judge.Finding) string {
	grade := ", " + s.language().Say(words.Grade(f.Severity()))
	if strings.HasPrefix(f.ID, "N") {
		grade = ""
	}
	return f.ID + grade + ": " + s.language().Say(f.Subject) + ": " + s.language().Say(words.Matter{Of: f}) + "; " +
		s.language().Say(words.ToDo{Of: f})
}

func (s streams) timeOf(j record.Judgement) string {
	if j.Answered() && j.NotTimed != "" {
		return s.language().Say(words.NotTimedStatus)
	}
	if !j.Answered() {
		return "–"
	}
	return s.language().Say(words.Quantity{Value: j.Response.Seconds(), Decimals: 2, In: words.Second})
}
