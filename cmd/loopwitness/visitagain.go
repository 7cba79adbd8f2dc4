package main

import (
	"strings"

	"loopwitness/commission/job"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// again lists what a retest takes, and why; nothing for a visit that follows none.
func (s streams) again(f job.Folder, follows string, st *site.Site, steps []programme.Step) {
	if follows == "" {
		return
	}
	all, err := f.Again(follows, st, steps)
	if err != nil {
		s.wrapped(s.around(words.AgainUntold, err))
		return
	}
	s.say("%s", s.around(words.AgainAfter, follows))
	others := 0
	for _, a := range all {
		because := s.why(a)
		if because == "" {
			others++
			continue
		}
		s.wrapped("– " + s.nameOfStep(st, a.Step) + ": " + because)
	}
	if others > 0 {
		s.wrapped(s.around(words.AgainChecklists, others))
	}
}

// why says for what reason a step is taken again, "" if only because it is a retest.
func (s streams) why(a job.Again) string {
	var reasons []string
	for _, f := range a.Findings {
		reasons = append(reasons, f.ID+" "+s.language().Say(f))
	}
	if len(reasons) == 0 && len(a.For) > 0 {
		var names []string
		for _, n := range a.For {
			names = append(names, s.language().Say(n))
		}
		reasons = append(reasons, s.around(words.NeededFor, s.several(names)))
	}
	return strings.Join(reasons, "; ")
}
