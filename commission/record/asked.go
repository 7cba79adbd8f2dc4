package record

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// Carried is what an earlier visit left outstanding, as a later one carries it on: Step is
// the name of the step that asks for it, where one does.
type Carried struct {
	Of   Earlier
	What Outstanding
	Step string
}

// result is that of a visit as a whole, which is judged above this room.
type result string

// notFinished is that of a visit that has open steps.
const notFinished result = "not finished"

// CarriedOn are what the latest finished visit of the job left outstanding, those after it, and
// those of certificates that were taken in by hand: of each what rests on steps. The rest is
// judged at each visit anew, or was about that one alone. A certificate of others knows nothing
// of the job: it ends nothing.
func CarriedOn(earlier []Earlier) (all []Carried) {
	from := 0
	for i, e := range earlier {
		if e.Certificate == "" && result(e.Result) != notFinished {
			from = i
		}
	}
	later := map[[2]string]bool{} // what a later visit carries on already
	for _, e := range earlier[from:] {
		for _, o := range e.Outstanding {
			if visit, id := o.carries(); id != "" {
				later[[2]string{visit, id}] = true
			}
		}
	}
	named := map[string]bool{}
	for i, e := range earlier {
		if i < from && e.Certificate == "" {
			continue
		}
		for _, o := range e.Outstanding {
			if len(o.Steps) == 0 || later[[2]string{e.Number, o.ID}] {
				continue
			}
			id := programme.OutstandingID(visitOf(e.Number), o.ID)
			for n := 2; named[id]; n++ { // two companies may call their visits alike
				id = programme.OutstandingID(fmt.Sprintf("%s-%d", visitOf(e.Number), n), o.ID)
			}
			named[id] = true
			all = append(all, Carried{e, o, id})
		}
	}
	return all
}

// carries are the visit and the finding that it carries on itself, "" for none.
func (o Outstanding) carries() (visit, id string) {
	var said struct {
		With struct {
			Then struct{ Visit, ID string } `json:"then"`
		} `json:"with"`
	}
	if json.Unmarshal(o.Said, &said) != nil {
		return "", ""
	}
	return said.With.Then.Visit, said.With.Then.ID
}

// Asked are the steps that ask whether what is carried on was put right, where the steps of
// this visit do not show it themselves.
func Asked(earlier []Earlier, steps []programme.Step, s *site.Site) []programme.Step {
	takes := map[string]programme.Step{}
	for _, st := range steps {
		takes[st.ID] = st
	}
	var asked []programme.Step
	shows := map[string]func(string) bool{}
	for _, c := range CarriedOn(earlier) {
		of := shows[c.Of.Journal]
		if of == nil {
			of = c.Of.shownBy(s, takes)
			shows[c.Of.Journal] = of
		}
		if slices.ContainsFunc(c.What.Steps, func(id string) bool { return !of(id) }) {
			asked = append(asked, programme.Step{ID: c.Step, Stage: programme.StageInspection,
				Kind: programme.StepOutstanding, Said: string(c.What.Said), Shown: c.What.Shown})
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
