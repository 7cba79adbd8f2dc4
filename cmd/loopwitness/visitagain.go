package main

import (
	"strings"

	"loopwitness/commission/job"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// again lists what a retest takes, and why; nothing for a visit that follows none.
func (s streams) again(f job.Folder, follows string, st *site.Site, steps []programme.Step) error {
	if follows == "" {
		return nil
	}
	all, err := f.Again(follows, st, steps)
	if err != nil {
		s.wrapped("Why its steps are taken again cannot be told: " + err.Error())
		return nil
	}
	s.say("Taken again after visit %s, and why:", follows)
	rows := [][]string{{"Stage", "Step", "Why"}}
	for _, a := range all {
		rows = append(rows, []string{string(a.Step.Stage), nameOfStep(st, a.Step), why(a)})
	}
	return s.table(rows)
}

// why says for what reason a step is taken again, in a line.
func why(a job.Again) string {
	var reasons []string
	for _, f := range a.Findings {
		reasons = append(reasons, words.Line(english, f))
	}
	if len(reasons) == 0 && len(a.For) > 0 {
		var names []string
		for _, n := range a.For {
			names = append(names, english.Say(n))
		}
		reasons = append(reasons, "needed for "+several(names))
	}
	if len(reasons) == 0 {
		return "each retest needs it"
	}
	return strings.Join(reasons, "; ")
}
