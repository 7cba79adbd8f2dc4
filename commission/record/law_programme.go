package record

import (
	"regexp"
	"slices"
	"strings"

	"loopwitness/commission/programme"
)

// The laws of what a visit has to take.
const (
	// LawProgramme: the steps are those that the site gives, in their order.
	LawProgramme Law = "programme"
	// LawChecklist: a visit that is no retest has a checklist, the built-in or a company's own.
	LawChecklist Law = "checklist"
	// LawOpening: a retest follows a visit, no other does; the number is that of the site.
	LawOpening Law = "opening"
	// LawEarlier: what is taken in of earlier visits is what a visit takes in.
	LawEarlier Law = "earlier"
)

var programmeLaws = []rule{
	{law: LawProgramme, consequence: Refused},
	{law: LawEarlier, consequence: Refused},
	{law: LawChecklist, consequence: Limits, end: (*Record).noChecklist},
	{law: LawOpening, consequence: Limits, entry: on((*Record).otherOpening)},
}

// noChecklist names the entry that opens a visit without one.
func (r *Record) noChecklist() []int {
	checked := slices.ContainsFunc(r.outcomes, func(o *Outcome) bool {
		return o.step.Kind == programme.StepCheck && o.step.Stage != programme.StageCables && !o.step.Look()
	})
	if checked || r.opening.Visit == programme.Retest {
		return nil
	}
	return []int{1}
}

// visitName is what a visit may be called in its number: nothing that reads as a sentence.
var visitName = regexp.MustCompile(`^[0-9A-Za-z][0-9A-Za-z.-]{0,63}$`)

func (r *Record) otherOpening(o Opened) bool {
	name, of := strings.CutPrefix(o.Number, r.site.Reference+"/")
	return !of || !visitName.MatchString(name) || (o.Visit == programme.Retest) != (o.Follows != "")
}
