package judge

import (
	"bytes"
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/record"
)

// tellsNothing are the codes of limitations by which what rests on their step is not known:
// neither that something is so still, nor that it is not.
var tellsNothing = map[string]bool{
	"not-tested": true, "no-part": true, "proved-with-mains": true, "proved-then-left": true, "shown/undecided": true,
	"not-measured": true, "reading-void": true, "reading-undecided": true, "no-voltmeter": true, "not-checked": true,
	"not-done": true, "not-computed": true, "cables-left-out": true, "cable-unmeasured": true, "alarm-not-tried": true,
	"alarm-not-seen": true, "path-not-known": true, "fault-not-seen": true, "fault-undecided": true,
	"fault-before": true, "restart-undecided": true, "switch-over-unseen": true, "alarm-time/undecided": true,
	"alarm-silenced": true, "not-known": true, "not-told": true,
}

// onlyUntested are the codes of what was only not tried, read or answered.
var onlyUntested = map[string]bool{"not-tested": true, "no-part": true, "not-measured": true, "not-checked": true,
	"not-done": true, "no-voltmeter": true, "cables-left-out": true, "cable-unmeasured": true, "alarm-not-tried": true,
	"proved-with-mains": true, "proved-then-left": true}

// hides are the codes of limitations by which only some things of their step are not known.
var hides = map[string][]string{
	"not-timed":              {"shown/late", "shown/undecided", "got-worse"},
	"alarm-not-timed":        {"alarm-time/fail", "alarm-time/undecided", "alarm-early"},
	"receipt-not-timed":      {"receipt-before", "alarm-time/fail", "alarm-time/undecided"},
	"receipt-before":         {"alarm-time/fail", "alarm-time/undecided"},
	"alarm-on-entry":         {"alarm-early"},
	"alarm-not-reported":     {"alarm-time/fail", "alarm-time/undecided"},
	"calibration-not-stated": {"calibration-over"},
	"charging-seen":          {"reading-outside", "reading-undecided", "not-measured"},
}

// triedAnew is what came of something whose steps are taken again, and the findings and
// limitations of this visit that say so. Another limitation of the same step says nothing of it.
func (a *Assessment) triedAnew(then Then, steps []string) (how Settling, now []string) {
	return a.triedBy(then, steps, a.takenAll(steps))
}

// triedBy is triedAnew, where all tells that something came of each step.
func (a *Assessment) triedBy(then Then, steps []string, all bool) (how Settling, now []string) {
	was, known := Recall(then.Said)
	row, ofRow := rowAbout(was)
	var so, untold []string
	limits := ofRow
	for i, f := range slices.Concat(a.findings, a.limitations) {
		if !a.concerns(f, row, steps) {
			continue
		}
		defect := i < len(a.findings)
		switch {
		case ofRow:
			if defect || f.Subject.Computed != nil && !then.Defect && was.Code() == f.Code() {
				so = append(so, f.ID)
				limits = limits && !defect
			} else if aboutRow(f, row) {
				untold = append(untold, f.ID)
			}
		case defect:
			// of what was not known, anything that is the matter; of a defect, another of the same
			if !known || was.Code() == f.Code() || tellsNothing[was.Code()] || then.Defect && sameSubjects(was, f) {
				so = append(so, f.ID)
			}
		case !known, tellsNothing[f.Code()] && !rowLimits(f), slices.Contains(hides[f.Code()], was.Code()):
			untold = append(untold, f.ID)
		case was.Code() == f.Code() && sameSubjects(was, f), was.Code() == (GotWorse{}).Code() && len(f.Since) > 0:
			so = append(so, f.ID)
		}
	}
	switch {
	case len(so) > 0 && limits:
		return TriedLimits, so
	case len(so) > 0:
		return TriedAgain, so
	case !all:
		return TriedNot, untold
	case len(untold) > 0, ofRow && !a.ruled(was, row, steps):
		return TriedUntold, untold
	}
	if known && onlyUntested[was.Code()] {
		return TestedNow, nil
	}
	return TriedWell, nil
}

// takenAll tells whether something came of each step, and none was left out.
func (a *Assessment) takenAll(steps []string) bool {
	return !slices.ContainsFunc(steps, func(id string) bool {
		o := a.record.Find(id)
		return o == nil || !o.Concluded() || o.Result() == record.LeftOut || o.Result() == record.NotApplicable
	})
}

// concerns tells whether a finding is about the steps: one about the same row is, too, where
// it rests on none, since the site file lacks what would decide it.
func (a *Assessment) concerns(f Finding, row string, steps []string) bool {
	switch f.What.(type) {
	case StillSo, StillUnknown:
		return false // of another visit's findings
	}
	rests := a.RestsOn(f)
	if row != "" && !aboutRow(f, row) {
		return false
	}
	if len(rests) == 0 {
		return row != ""
	}
	return slices.ContainsFunc(rests, func(id string) bool { return slices.Contains(steps, id) })
}

// rowAbout is the code of the row that a finding is about, if it is about one.
func rowAbout(f Finding) (string, bool) {
	switch what := f.What.(type) {
	case ComputedSo:
		return what.Row.Code(), true
	case NotComputed:
		return what.Row, true
	}
	return "", false
}

// rowLimits tells of a limitation that hides a computation alone, and nothing else of its step.
func rowLimits(f Finding) bool {
	_, is := rowAbout(f)
	return is
}

func aboutRow(f Finding, row string) bool {
	if what, is := f.What.(RestsOnDefaults); is {
		return slices.ContainsFunc(what.Rows, func(r RowsOf) bool { return r.Row == row })
	}
	code, is := rowAbout(f)
	return is && code == row
}

// ruled tells whether a row of the steps was computed this time; of one that was held against
// a limit, whether it was again, and holds.
func (a *Assessment) ruled(was Finding, row string, steps []string) bool {
	_, judged := was.What.(ComputedSo)
	found := false
	for _, c := range a.computed {
		if c.Row.Code() != row || c.Step != "" && !slices.Contains(steps, c.Step) {
			continue
		}
		if found = true; len(c.Missing) > 0 || c.Defaulted || judged && c.Ruling != checks.Pass {
			return false
		}
	}
	return found
}

func sameSubjects(a, b Finding) bool {
	return bytes.Equal(settledJSON(encoded(a.Subject)), settledJSON(encoded(b.Subject)))
}
