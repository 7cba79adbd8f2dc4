package judge

import (
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Operations counts what was operated in the whole visit, the walk-test and on standby.
// One that was missed past its limit counts even if it was broken off then.
type Operations struct {
	Operated int `json:"operated"`
	Reported int `json:"reported"`
	Repeated int `json:"repeated"` // beyond the first of each detector
	// OnStandby are those of the repeated ones that were operated again without mains, as the programme asks.
	OnStandby int `json:"repeated_on_standby,omitempty"`
	Mended    int `json:"mended"` // of those that were not reported: the detector was mended, and proved
	Struck    int `json:"struck"` // attempts that count no more, with a reason; not among the others
}

// Proof is what the operations of one detector that was operated more than once prove
// of the probability that it reports. What was before a repair, or was struck, does not
// count.
type Proof struct {
	Detector             programme.DetectorName
	Operations, Reported int
	LowerBound           float64 // one-sided, at Confidence
	Confidence           float64
}

// prove counts every operation that was reported or missed, repeats too.
func (a *Assessment) prove() {
	of := map[site.Point]*Proof{}
	var inOrder []*Proof
	for n, d := range slices.Concat(a.detectors, a.onStandby) {
		all, reported := counted(d.Outcome.Attempts())
		since, sinceReported := counted(d.Outcome.SinceMended())
		a.operations.Operated += all
		a.operations.Reported += reported
		a.operations.Mended += all - reported - (since - sinceReported)
		a.operations.Struck += len(d.Outcome.Struck())
		p := of[d.Name.Point]
		if p == nil {
			name := d.Name
			name.OnStandby = false
			p = &Proof{Detector: name, Confidence: proofConfidence}
			of[d.Name.Point], inOrder = p, append(inOrder, p)
			if all > 0 {
				a.operations.Repeated--
				if n >= len(a.detectors) {
					a.operations.OnStandby--
				}
			}
		}
		a.operations.Repeated += all
		if n >= len(a.detectors) {
			a.operations.OnStandby += all
		}
		p.Operations, p.Reported = p.Operations+since, p.Reported+sinceReported
	}
	for _, p := range inOrder {
		if p.Operations < 2 {
			continue
		}
		p.LowerBound, _ = checks.ProportionLowerBound(p.Reported, p.Operations, p.Confidence) // some: no error
		a.proofs = append(a.proofs, *p)
	}
}

// counted are how many operations say something, and how many of them were reported.
func counted(attempts []record.Attempt) (all, reported int) {
	for _, t := range attempts {
		switch {
		case t.Operate.Missed():
			all++
		case t.Operate.Judge().Answered():
			all, reported = all+1, reported+1
		}
	}
	return all, reported
}

// notObserved tells of a lack that no step of its own tells.
func notObserved(l Lack) bool {
	switch l.What {
	case LackCutOff, LackLevel, LackSystemCurrent, LackFarVoltage:
		return true
	}
	return false
}

// Useful tells whether the bound is of use to anybody: one of a few operations is far too
// low (twenty as for a percentile: common practice, no source).
func (p Proof) Useful() bool { return p.Operations >= 20 }

// NotTested counts what the visit was to test or measure, and did not.
func (a *Assessment) NotTested() int {
	n := 0
	for _, f := range slices.Concat(a.findings, a.limitations) {
		switch what := f.What.(type) {
		case NotTested, NoPart, NotMeasured, NotDone, NotChecked, ReadingVoid, NoVoltmeter:
			n++
		case NotComputed:
			if slices.ContainsFunc(what.Lacks, notObserved) {
				n++
			}
		}
	}
	return n
}
