package record

import (
	"errors"
	"fmt"
	"slices"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

const kindExtent = "extent"

// Extent tells which detectors a visit is about, which are taken first, and whether the others
// are left out of the walk-test, with the reason.
type Extent struct {
	Step      string       `json:"step"`
	Concerned []site.Point `json:"concerned"`
	OnlyThese bool         `json:"only_these,omitempty"`
	Reason    string       `json:"reason,omitempty"` // of OnlyThese
}

// Kind names the entry.
func (Extent) Kind() string { return kindExtent }

// Extent is what was said of it last, nil for nothing.
func (r *Record) Extent() *Extent {
	if r.extent == nil {
		return nil
	}
	e := *r.extent
	e.Concerned = slices.Clone(e.Concerned)
	return &e
}

// BeyondExtent tells that a detector was left out since the visit is about others.
func (s *Outcome) BeyondExtent() bool { return s.beyond && s.Last() == nil }

func (r *Record) saidExtent(e journal.Entry, f Extent) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	switch {
	case sr.settled:
		return refuse(LawExtent, errors.New("it was said before"))
	case r.trial != nil:
		return refuse(LawExtent, errors.New("a trial waits"))
	case f.OnlyThese && (len(f.Concerned) == 0 || f.Reason == ""):
		return refuse(LawExtent, errors.New("detectors are left out for no reason, or all of them"))
	case !f.OnlyThese && f.Reason != "":
		return refuse(LawExtent, errors.New("nothing is left out, with a reason"))
	}
	for i, p := range f.Concerned {
		if r.index["walk/"+string(p)] == nil || slices.Contains(f.Concerned[:i], p) {
			return refuse(LawExtent, fmt.Errorf("detector %q is none of the visit, or stands twice", p))
		}
	}
	r.extent = &f
	for _, o := range r.beyond() {
		if f.OnlyThese && !o.settled && len(o.attempts) == 0 {
			o.beyond, o.answer = true, &Answer{Step: o.step.ID, Result: LeftOut, Remark: f.Reason}
			r.settle(o, e)
		}
	}
	r.settle(sr, e)
	r.latestTaken = sr
	return nil
}

// beyond are the detectors of the walk-test that are not concerned.
func (r *Record) beyond() (all []*Outcome) {
	for _, o := range r.outcomes {
		if o.step.Stage == programme.StageWalkTest && o.step.Kind == programme.StepDetector &&
			!slices.Contains(r.extent.Concerned, o.step.Point) {
			all = append(all, o)
		}
	}
	return all
}

// unlimit takes back what was said of the extent: what was left out for it is open again.
func (r *Record) unlimit() {
	if r.extent == nil {
		return
	}
	for _, o := range r.beyond() {
		if o.BeyondExtent() {
			o.beyond, o.settled, o.answer = false, false, nil
		}
	}
	r.extent = nil
}

// concernedNext is the first open detector that the visit is about, nil for none.
func (r *Record) concernedNext() *Outcome {
	if r.extent == nil {
		return nil
	}
	for _, o := range r.outcomes {
		if !o.settled && o.step.Stage == programme.StageWalkTest && slices.Contains(r.extent.Concerned, o.step.Point) {
			return o
		}
	}
	return nil
}
