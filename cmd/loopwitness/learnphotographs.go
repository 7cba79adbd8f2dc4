package main

import (
	"slices"

	"loopwitness/commission/job"
	"loopwitness/commission/learn"
	"loopwitness/commission/site"
)

// learntPhotographs keeps what is photographed while a site is learnt in the job's folder,
// until a visit takes it in.
type learntPhotographs struct{ job.Folder }

func (p learntPhotographs) Keep(address, caption string, file []byte) (string, error) {
	return p.KeepLearnt(address, caption, file)
}

func (p learntPhotographs) Forget(names []string) error {
	if len(names) == 0 {
		return nil
	}
	return p.ChangeLearnt(func(l *job.LearntPhotograph) bool { return !slices.Contains(names, l.Name) })
}

// settle says of each photograph which detector it shows, by the site file as it was before the
// walk, nil for none, and as it is written. What was said to be one of several is left to be of
// the zone.
func (p learntPhotographs) settle(said []learn.Said, before, written *site.Site) error {
	place := map[string]int{} // of the photograph's detector on its zone
	known := map[string]int{} // detectors, by address
	if before != nil {
		for _, z := range before.Zones {
			known[z.Address] = len(z.Detectors)
		}
	}
	for _, s := range said {
		if s.What == learn.Detector {
			known[s.Address]++
		}
		for _, name := range s.Photographs {
			if s.What == learn.Detector || known[s.Address] == 1 {
				place[name] = known[s.Address]
			}
		}
	}
	return p.ChangeLearnt(func(l *job.LearntPhotograph) bool {
		z, at := written.ZoneAt(l.Address), place[l.Name]
		if z != nil && at > 0 && at <= len(z.Detectors) {
			l.Place, l.Detector = at, z.Detectors[at-1].Name
		}
		return true
	})
}
