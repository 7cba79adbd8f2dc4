package dryrun

import (
	"slices"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// foundForgeries are wrong about what was found on the premises, and about which detectors a
// visit is about.
var foundForgeries = []Forgery{
	{"a number of false alarms that is none", record.LawFound, withStep(
		causeStep,
		record.Found{Step: "told/cause", Key: programme.ToldCount, Text: "few"})},
	{"a word of one's own for what it was", record.LawFound, withStep(
		causeStep,
		record.Found{Step: "told/cause", Key: programme.ToldReal, Text: "nobody's fault"})},
	{"a value that the step does not ask for", record.LawFound, withStep(
		causeStep,
		record.Found{Step: "told/cause", Key: "supply.battery.fitted", Text: "2026-11-01", By: record.FromPlate})},
	{"detectors are left out for no reason", record.LawExtent, withStep(
		programme.Step{ID: programme.IDExtent, Stage: programme.StageInspection, Kind: programme.StepExtent},
		record.Extent{Step: programme.IDExtent, Concerned: []site.Point{"1.1"}, OnlyThese: true})},
	{"all detectors are left out", record.LawExtent, withStep(
		programme.Step{ID: programme.IDExtent, Stage: programme.StageInspection, Kind: programme.StepExtent},
		record.Extent{Step: programme.IDExtent, Concerned: []site.Point{}, OnlyThese: true, Reason: "no time"})},
}

var causeStep = programme.Step{ID: "told/cause", Stage: programme.StageHandOver, Kind: programme.StepFound,
	Group: programme.GroupCause}

// withStep gives the visit a step behind its stage's others, and a fact about it at once.
func withStep(step programme.Step, fact record.Fact) func(*Forged) {
	return func(f *Forged) {
		Edit(f, 0, func(o *record.Opened) {
			at := slices.IndexFunc(o.Programme, func(s programme.Step) bool {
				return slices.Index(programme.Stages, s.Stage) > slices.Index(programme.Stages, step.Stage)
			})
			o.Programme = slices.Insert(o.Programme, at, step)
		})
		f.Insert(1, 0, fact)
	}
}
