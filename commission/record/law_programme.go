package record

import (
	"strings"

	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
)

// The laws of what a visit has to take.
const (
	// LawProgramme: the steps are those that the site gives, in their order.
	LawProgramme Law = "programme"
	// LawChecklist: a visit that is no retest has a checklist, the built-in or a company's own.
	LawChecklist Law = "checklist"
	// LawWholeProgramme: a visit that is no retest has all steps that the site gives.
	LawWholeProgramme Law = "whole-programme"
	// LawOpening: a retest follows a visit, no other does; the number is that of the site.
	LawOpening Law = "opening"
)

var programmeLaws = []rule{
	{law: LawProgramme, consequence: Refused},
	{law: LawChecklist, consequence: Limits, end: (*Record).noChecklist},
	{law: LawWholeProgramme, consequence: Limits, end: (*Record).stepsMissing},
	{law: LawOpening, consequence: Limits, entry: on((*Record).otherOpening)},
}

// first names the entry that opens a visit, where so.
func first(so bool) []int {
	if so {
		return []int{1}
	}
	return nil
}

func (r *Record) noChecklist() []int {
	for _, o := range r.outcomes {
		if o.step.Kind == programme.StepCheck {
			return nil
		}
	}
	return first(r.opening.Visit != programme.Retest)
}

func (r *Record) stepsMissing() []int {
	if r.opening.Visit == programme.Retest {
		return nil
	}
	for _, step := range programme.Of(r.site, programme.Checklist{}) {
		if r.index[step.ID] == nil {
			return first(true)
		}
	}
	return nil
}

func (r *Record) otherOpening(o Opened) bool {
	name, of := strings.CutPrefix(o.Number, r.site.Reference+"/")
	return !of || oneline.Blank(name) || (o.Visit == programme.Retest) != (o.Follows != "")
}
