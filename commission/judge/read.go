package judge

import (
	"maps"
	"slices"

	"loopwitness/commission/record"
)

// What others may know of an assessment. Lists are copies.

// Record is what was judged.
func (a *Assessment) Record() *record.Record { return a.record }

// Result is that of the whole visit.
func (a *Assessment) Result() Overall { return a.result }

// Detectors are those of the walk-test.
func (a *Assessment) Detectors() []DetectorLine { return slices.Clone(a.detectors) }

// OnStandby are the detectors that were proved again while mains was removed.
func (a *Assessment) OnStandby() []DetectorLine { return slices.Clone(a.onStandby) }

// Readings are the voltages.
func (a *Assessment) Readings() []ReadingLine { return slices.Clone(a.readings) }

// Outputs are sounders, strobes, and chimes with each of their zones.
func (a *Assessment) Outputs() []OutputLine { return slices.Clone(a.outputs) }

// Restart is the cold restart, nil if it was no part of the visit.
func (a *Assessment) Restart() *RestartLine {
	if a.restart == nil {
		return nil
	}
	c := *a.restart
	return &c
}

// Checklist are the items of the checklists.
func (a *Assessment) Checklist() []*record.Outcome { return slices.Clone(a.checklist) }

// Looks are the lines of what was looked at of each detector, kind by kind.
func (a *Assessment) Looks() []*record.Outcome { return slices.Clone(a.looks) }

// Computed are the computations, from the site file first, then from the readings.
func (a *Assessment) Computed() []Computed { return slices.Clone(a.computed) }

// Findings are the defects: they make the result unsatisfactory.
func (a *Assessment) Findings() []Finding { return slices.Clone(a.findings) }

// Limitations are what limits a satisfactory result.
func (a *Assessment) Limitations() []Finding { return slices.Clone(a.limitations) }

// Notes are standing ones, which limit nothing.
func (a *Assessment) Notes() []Finding { return slices.Clone(a.notes) }

// Open is how many of all steps are open.
func (a *Assessment) Open() (open, all int) { return a.open, a.all }

// Counts are the verdicts on the walk-test's detectors.
func (a *Assessment) Counts() map[record.Verdict]int { return maps.Clone(a.counts) }

// Responses are those of the detectors' last trials that were timed, in seconds, rising.
func (a *Assessment) Responses() []float64 { return slices.Clone(a.responses) }

// Summary is that of the response times.
func (a *Assessment) Summary() Summary { return a.summary }

// Cues counts how it was told when detectors were to be operated.
func (a *Assessment) Cues() Cues { return a.cues }

// Operations counts what was operated and reported.
func (a *Assessment) Operations() Operations { return a.operations }

// Proofs is what the operations of detectors prove that were operated more than once.
func (a *Assessment) Proofs() []Proof { return slices.Clone(a.proofs) }

// Cautions are those that apply to what is fitted.
func (a *Assessment) Cautions() []Caution { return slices.Clone(a.cautions) }
