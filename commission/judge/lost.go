package judge

import (
	"slices"

	"loopwitness/commission/record"
)

// PhotographLost is a photograph that the journal tells of and that is not there any more as
// it was added.
type PhotographLost struct {
	Name  string `json:"name"`  // of its file
	Entry int    `json:"entry"` // that added it
}

// Code names it.
func (PhotographLost) Code() string { return "photograph-lost" }

// Without judges a record some of whose photographs are lost, by their names: that limits
// what the visit shows. Nobody who signed can have known it.
func Without(r *record.Record, lost ...string) *Assessment {
	a := &Assessment{record: r, counts: map[record.Verdict]int{}, stuckTold: map[string]bool{}}
	for _, p := range r.Photographs() {
		if slices.Contains(lost, p.Name) {
			a.lost = append(a.lost, p)
		}
	}
	a.assess()
	return a
}

// Lost are the photographs of the record that are lost.
func (a *Assessment) Lost() []record.Photograph { return slices.Clone(a.lost) }

// Kept are the others.
func (a *Assessment) Kept() []record.Photograph {
	return slices.DeleteFunc(a.record.Photographs(), func(p record.Photograph) bool { return a.lostName(p.Name) })
}

func (a *Assessment) lostName(name string) bool {
	return slices.ContainsFunc(a.lost, func(p record.Photograph) bool { return p.Name == name })
}

// findLost lists lost photographs, behind what whoever signed was shown.
func (a *Assessment) findLost() {
	for _, p := range a.lost {
		a.limit(Finding{ID: numbered("L", len(a.limitations)), Subject: Subject{Part: PartPhotographs},
			What: PhotographLost{p.Name, p.Entry}})
	}
}
