package main

import (
	"fmt"
	"strings"

	"loopwitness/commission/job"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// again lists what a retest takes, and why; nothing for a visit that follows none.
func (s streams) again(f job.Folder, follows string, st *site.Site, steps []programme.Step) {
	if follows == "" {
		return
	}
	all, err := f.Again(follows, st, steps)
	if err != nil {
		s.wrapped("Why its steps are taken again cannot be told: " + err.Error())
		return
	}
	s.say("Taken again after visit %s, and why:", follows)
	others := 0
	for _, a := range all {
		because := why(a)
		if because == "" {
			others++
			continue
		}
		s.wrapped("– " + nameOfStep(st, a.Step) + ": " + because)
	}
	if others > 0 {
		s.wrapped(fmt.Sprintf("– %d lines of the checklists that each retest needs", others))
	}
}

// why says for what reason a step is taken again, "" if only because it is a retest.
func why(a job.Again) string {
	var reasons []string
	for _, f := range a.Findings {
		reasons = append(reasons, f.ID+" "+english.Say(f))
	}
	if len(reasons) == 0 && len(a.For) > 0 {
		var names []string
		for _, n := range a.For {
			names = append(names, english.Say(n))
		}
		reasons = append(reasons, "needed for "+several(names))
	}
	return strings.Join(reasons, "; ")
}
