package record

import (
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// Asked are the steps that ask whether what earlier visits left outstanding was put right:
// what the latest of them left, and what stands in certificates that were taken in by hand.
// What rests on no step is judged at each visit, or was about that one alone; what rests on
// steps that this visit takes itself is judged from these.
func Asked(earlier []Earlier, steps []programme.Step, s *site.Site) []programme.Step {
	takes := map[string]programme.Step{}
	for _, st := range steps {
		takes[st.ID] = st
	}
	var asked []programme.Step
	named := map[string]bool{}
	for i, e := range earlier {
		if i < len(earlier)-1 && e.Certificate == "" {
			continue
		}
		shows := e.shownBy(s, takes)
		for _, o := range e.Outstanding {
			if len(o.Steps) == 0 || !slices.ContainsFunc(o.Steps, func(id string) bool { return !shows(id) }) {
				continue
			}
			id := programme.OutstandingID(visitOf(e.Number), o.ID)
			for n := 2; named[id]; n++ { // two companies may call their visits alike
				id = programme.OutstandingID(fmt.Sprintf("%s-%d", visitOf(e.Number), n), o.ID)
			}
			named[id] = true
			asked = append(asked, programme.Step{ID: id, Stage: programme.StageInspection, Kind: programme.StepOutstanding,
				Said: string(o.Said), Shown: o.Shown})
		}
	}
	return asked
}

// visitOf is what a visit is called in the number of its certificate.
func visitOf(number string) string { return number[strings.LastIndexByte(number, '/')+1:] }

// shownBy tells whether a visit shows anew what rested on a step: whether it takes the step,
// and where the step is about a detector, the same detector.
func (e Earlier) shownBy(s *site.Site, takes map[string]programme.Step) func(id string) bool {
	names := map[site.Point]string{}
	for _, d := range e.Detectors {
		names[d.Point] = d.Name
	}
	return func(id string) bool {
		st, has := takes[id]
		if !has {
			return false
		}
		then, known := names[st.Point]
		_, now, err := s.Find(st.Point)
		return !known || err != nil || now.Name == then
	}
}

// TakenIn is what an outstanding step asks for: the visit, and what it left.
func (r *Record) TakenIn(step programme.Step) (Earlier, Outstanding, bool) {
	visit, id := programme.OfOutstanding(step.ID)
	for _, e := range r.opening.Earlier {
		for _, o := range e.Outstanding {
			if o.ID == id && string(o.Said) == step.Said && strings.HasPrefix(visit, visitOf(e.Number)) {
				return e, o, true
			}
		}
	}
	return Earlier{}, Outstanding{}, false
}

// Earlier are the visits of the system before this one that it took in, by when they were
// begun.
func (r *Record) Earlier() []Earlier { return slices.Clone(r.opening.Earlier) }

// LatestEarlier is the latest of the earlier visits that it took in, nil for none.
func (o Opened) LatestEarlier() *Earlier {
	if n := len(o.Earlier); n > 0 {
		return &o.Earlier[n-1]
	}
	return nil
}
