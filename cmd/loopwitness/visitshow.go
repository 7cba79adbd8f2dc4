package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
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
	rows := [][]string{{"Visit", "Begun", "Open steps", "Result so far"}}
	aside := 0
	for _, v := range visits {
		r, err := v.Record()
		if err != nil { // one that cannot be read must not hide the others
			rows = append(rows, []string{v.Name, "–", "–", "cannot be read; see visit show --visit " + v.Name})
			continue
		}
		_, open := r.Count("")
		result := string(judge.Assess(r).Result())
		if d := r.Discarded(); d != nil {
			if aside++; !all {
				continue
			}
			result = "set aside: " + english.Say(words.Remarked(d.Reason))
		}
		rows = append(rows, []string{v.Name, r.Begun().Local().Format("2006-01-02 15:04"), fmt.Sprint(open), result})
	}
	if err := s.table(rows); err != nil {
		return err
	}
	if aside > 0 && !all {
		s.say("%d set aside; see: %s", aside, command(f, "visit show --all"))
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
	a := judge.Without(r, v.Lost(r)...)
	s.say("Visit %s, %s, begun %s, %d entries", v.Name, r.Opened().Visit,
		r.Begun().Local().Format("2006-01-02 15:04"), r.Entries())
	if torn := tornJournal(contents); torn != "" {
		s.wrapped(torn)
	}
	if open, all := a.Open(); open > 0 {
		s.say("Not finished: %s\n", english.Say(words.StillOpen{Open: open, All: all}))
	} else {
		s.say("Result: %s\n", a.Result())
	}
	s.wrapped(english.Say(words.Titled{Of: words.NextLabel}) + ": " + english.Say(words.NextDue{Of: a.Next()}))
	s.slips(r)
	s.again(f, r.Opened().Follows, r.Site(), r.Programme())
	rows := [][]string{{"Point", "Detector", "Zone", "Response", "Restored", "Trials", "Verdict"}}
	for _, d := range a.Detectors() {
		rows = append(rows, []string{string(d.Name.Point), typedName(d.Detector.Name),
			fmt.Sprintf("%d %s", d.Zone.Number, typedName(d.Zone.Name)),
			timeOf(d.Operated), timeOf(d.Restored), fmt.Sprint(d.Trials), string(d.Verdict)})
	}
	if err := s.table(rows); err != nil {
		return err
	}
	if c := a.Cues(); c.ByPhone() || c.NotTimed > 0 {
		s.wrapped(english.Say(words.CuesGiven{Of: c}))
	}
	if devices := r.Devices(); len(devices) > 0 {
		s.wrapped(english.Say(words.Titled{Of: words.DevicesLabel}) + ": " + english.Say(words.Devices{Of: devices}))
	}
	for _, f := range slices.Concat(a.Findings(), a.Limitations(), a.Notes()) {
		s.wrapped(listed(f))
		if line := todo(a, f); line != "" {
			s.wrapped(line)
		}
	}
	if next := r.Next(); next != nil && r.Discarded() == nil {
		s.say("\nNext: %s, %s", next.Step().Stage, screen.Clean(english.Say(programme.NameOf(r.Site(), next.Step()))))
	}
	return nil
}

// listed is a finding with how grave it is and what to do. A note limits nothing.
func listed(f judge.Finding) string {
	grade := ", " + english.Say(words.Grade(f.Severity()))
	if strings.HasPrefix(f.ID, "N") {
		grade = ""
	}
	return f.ID + grade + ": " + english.Say(f.Subject) + ": " + english.Say(words.Matter{Of: f}) + "; " +
		english.Say(words.ToDo{Of: f})
}

func timeOf(j record.Judgement) string {
	if j.Answered() && j.NotTimed != "" {
		return english.Say(words.NotTimedStatus)
	}
	if !j.Answered() {
		return "–"
	}
	return fmt.Sprintf("%.2f s", j.Response.Seconds())
}
