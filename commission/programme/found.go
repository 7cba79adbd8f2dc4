package programme

import (
	"cmp"
	"fmt"
	"slices"

	"loopwitness/commission/site"
)

// OfKind is the ordered steps of a visit of a kind that takes all: those of Of without the
// stages that this kind does not have, and of a take-over a step for each part of which the
// site file does not say something. Of a retest it is all from which it chooses.
func OfKind(kind VisitKind, s *site.Site, list Checklist) []Step {
	steps := slices.DeleteFunc(Of(s, list), func(st Step) bool {
		return st.Stage == StageCables && !kind.MeasuresCables() && kind != Retest
	})
	if kind == TakeOver {
		steps = inStages(append(steps, foundSteps(s)...))
	}
	return steps
}

// Whole is all steps that visits of any kind take at a site but their checklists.
func Whole(s *site.Site) []Step { return OfKind(TakeOver, s, Checklist{}) }

// foundSteps stand behind the checklist of the inspection, before anything is operated.
func foundSteps(s *site.Site) (steps []Step) {
	for _, p := range s.Unknown() {
		if p.Group == site.GroupForm {
			continue // the programme depends on it: the file has to say it
		}
		of := cmp.Or(p.Output, string(p.Point))
		if p.Zone > 0 {
			of = fmt.Sprint(p.Zone)
		}
		id := "found/" + string(p.Group)
		if of != "" {
			id += "/" + of
		}
		steps = append(steps, Step{ID: id, Stage: StageInspection, Kind: StepFound, Group: p.Group, Zone: p.Zone,
			Point: p.Point, Output: p.Output})
	}
	return steps
}

// Part is the part of the system of which a step asks what is not known.
func (s Step) Part() site.Part {
	return site.Part{Group: s.Group, Zone: s.Zone, Point: s.Point, Output: s.Output}
}

// WiringName is how a circuit is wired, as it is called.
type WiringName site.Wiring

// Code names it.
func (w WiringName) Code() string { return "wiring/" + string(w) }
