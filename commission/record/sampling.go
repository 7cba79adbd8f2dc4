package record

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// Sampling is which detectors a maintenance visit takes, where not all were agreed.
type Sampling struct {
	Share  float64 `json:"share"`  // of all detectors, above 0 and up to 1
	Reason string  `json:"reason"` // who agreed, as typed
	// Points are those that the visit takes when it begins; programme.Sample says how they
	// are chosen.
	Points []site.Point `json:"points"`
}

// LastProofs are when each detector was proved last, by what was taken in of earlier visits:
// of one of the same point, name and kind.
func LastProofs(earlier []Earlier) func(site.Point, *site.Detector) programme.LastProof {
	type who struct {
		point site.Point
		name  string
		kind  site.DetectorKind
	}
	all := map[who]programme.LastProof{}
	for _, e := range earlier {
		for _, d := range e.Detectors {
			is := who{d.Point, d.Name, d.Kind}
			proof := all[is]
			if proof.Missed = !d.Verdict.Proves(); !proof.Missed {
				proof.At, proof.Visit = e.Begun, e.Number
			}
			all[is] = proof
		}
	}
	return func(p site.Point, d *site.Detector) programme.LastProof { return all[who{p, d.Name, d.Kind}] }
}

// Sampled are the detectors that a visit with a sample takes; keep are those that it had
// already, nil when it begins.
func (o Opened) Sampled(s *site.Site, keep map[site.Point]bool) []site.Point {
	return programme.Sample(s, o.Sampling.Share, LastProofs(o.Earlier), keep)
}

// sampledNow are the detectors that a visit with a sample has now.
func (r *Record) sampledNow() map[site.Point]bool {
	keep := map[site.Point]bool{}
	for _, o := range r.outcomes {
		if o.step.Kind == programme.StepDetector && o.step.Stage == programme.StageWalkTest {
			keep[o.step.Point] = true
		}
	}
	return keep
}

// Completed are the steps of a visit from those of its whole programme: without detectors
// that its sample does not have, and with what was outstanding. keep is as with Sampled.
func (o Opened) Completed(s *site.Site, whole []programme.Step, keep map[site.Point]bool) []programme.Step {
	if o.Sampling != nil {
		whole = programme.Sampled(whole, o.Sampled(s, keep))
	}
	return programme.WithOutstanding(whole, Asked(o.Earlier, whole, s))
}

// CompletedNow are the steps of the visit at a site as it is now.
func (r *Record) CompletedNow(s *site.Site, whole []programme.Step) []programme.Step {
	return r.opening.Completed(s, whole, r.sampledNow())
}
