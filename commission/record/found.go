package record

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

const kindFound = "found"

// Found is a value that the site file does not say and that was found on the premises: read,
// measured or told. It counts as if the file had it, until the file has it.
type Found struct {
	Step string `json:"step"`
	Key  string `json:"key"`            // of the site file's table
	Text string `json:"text,omitempty"` // as typed; "" where it cannot be known
	By   How    `json:"by"`
}

// Kind names the entry.
func (Found) Kind() string { return kindFound }

// How is how a value was found.
type How string

// The ways.
const (
	FromPlate  How = "plate"    // of the part itself
	FromPapers How = "papers"   // that were handed over
	ByMeter    How = "measured" // on the premises
	ByWord     How = "told"     // by the customer or whoever installed it
)

// Hows are all of them.
var Hows = []How{FromPlate, FromPapers, ByMeter, ByWord}

// Code names the means.
func (h How) Code() string { return "how/" + string(h) }

// FoundValue is a value that was found, and when.
type FoundValue struct {
	Found
	At time.Time

	entry int
}

// Found are the values that were found at a step, the last of each key, in the order of their
// entries; those that cannot be known have no text.
func (s *Outcome) Found() []FoundValue { return slices.Clone(s.found) }

// SiteFile is the site as its file says it; Site has in it what was found, too.
func (r *Record) SiteFile() *site.Site { return r.file }

// ToFind are the keys of a step of which nothing was found yet, by what was found until then:
// which resistors a circuit has follows from its wiring.
func (r *Record) ToFind(s *Outcome) []string {
	return slices.DeleteFunc(r.site.Missing(s.step.Part()), func(key string) bool {
		return slices.ContainsFunc(s.found, func(f FoundValue) bool { return f.Key == key })
	})
}

// mayFind refuses a value that a step does not ask for, or that is none of its key.
func (r *Record) mayFind(s *Outcome, f Found) (*site.Site, error) {
	switch {
	case !slices.Contains(Hows, f.By):
		return nil, fmt.Errorf("%w: a value by %q", ErrUnknownKind, f.By)
	case !slices.Contains(r.ToFind(s), f.Key):
		return nil, refuse(LawFound, fmt.Errorf("step %q does not ask for %q", s.step.ID, f.Key))
	case f.Text == "":
		return r.site, nil
	}
	with, err := r.site.With(s.step.Part(), f.Key, f.Text)
	if err != nil {
		return nil, refuse(LawFound, err)
	}
	return with, nil
}

func (r *Record) found(e journal.Entry, f Found) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	if sr.settled {
		return refuse(LawFound, errors.New("nothing was open of the step"))
	}
	with, err := r.mayFind(sr, f)
	if err != nil {
		return err
	}
	r.site = with
	sr.found = append(sr.found, FoundValue{f, e.At, e.N})
	r.latestTaken = sr
	if len(r.ToFind(sr)) == 0 && !r.loopOpen(sr) {
		r.settle(sr, e)
	}
	return nil
}

// loopOpen tells whether the loop of a circuit has to be read still: of one whose wiring nobody
// declared, it must be.
func (r *Record) loopOpen(s *Outcome) bool {
	z := r.file.Zone(s.step.Zone)
	return s.step.Group == site.GroupWiring && z != nil && z.Wiring == site.WiringUnknown && s.Reading(LoopReading) == nil
}

// LoopOpen tells whether the loop of a step has to be read still.
func (r *Record) LoopOpen(s *Outcome) bool { return r.loopOpen(s) }

// withFound is a site file with all that was found of what it does not say.
func (r *Record) withFound(file *site.Site) *site.Site {
	s := file
	for _, o := range r.outcomes {
		for _, f := range o.found {
			if f.Text == "" {
				continue
			}
			if with, err := s.With(o.step.Part(), f.Key, f.Text); err == nil { // else the file says it now
				s = with
			}
		}
	}
	return s
}

// unfind forgets what was found at a step that is taken again.
func (r *Record) unfind(s *Outcome) {
	if s.step.Kind == programme.StepFound && len(s.found)+len(s.readings) > 0 {
		s.found, s.readings = nil, nil
		r.site = r.withFound(r.file)
	}
}
