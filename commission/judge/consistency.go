package judge

import (
	"cmp"
	"encoding/json"
	"slices"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// findConsistency lists the laws that the record breaks, and notes what became of the
// computer and its clock.
func (a *Assessment) findConsistency() {
	r := a.record
	for _, b := range r.Breaches() {
		a.limit(Finding{Subject: Subject{Part: PartRecord}, What: Contradicted(b)})
	}
	if all := r.Absences(); len(all) > 0 {
		told := WasAbsent{Times: len(all), From: r.Local(all[0].Noticed), To: r.Local(all[len(all)-1].Noticed)}
		for _, one := range all {
			told.Lasted += one.Lasted
			told.Asleep = told.Asleep || one.Asleep
		}
		a.note(Finding{Subject: Subject{Part: PartComputer}, What: told})
	}
	if all := r.ClockSteps(); len(all) > 0 {
		most := slices.MaxFunc(all, func(a, b record.ClockStep) int { return cmp.Compare(a.By.Abs(), b.By.Abs()) })
		told := ClockSet{Times: len(all), By: most.By.Round(100 * time.Millisecond), AtLeast: most.AtLeast,
			At: r.Local(most.At)}
		a.note(Finding{Subject: Subject{Part: PartComputer}, What: told})
	}
}

// findNotFound tells of names that accept what the visit did not show. What was corrected
// after they were given may be named otherwise since.
func (a *Assessment) findNotFound() {
	afterwards := slices.ContainsFunc(a.record.Corrections(), func(c record.Correction) bool { return c.After })
	if afterwards {
		return
	}
	var entries []int
	for _, id := range []string{programme.IDTechnician, programme.IDCustomer} {
		if o := a.record.Find(id); o != nil && o.Signed() != nil && a.acceptsMore(o.Signed().Accepted) {
			entries = append(entries, o.SignedEntry())
		}
	}
	told := func(f Finding) bool {
		broken, is := f.What.(Contradicted)
		return is && broken.Law == record.LawAccepted
	}
	if len(entries) > 0 && !slices.ContainsFunc(a.limitations, told) {
		a.limit(Finding{ID: numbered("L", len(a.limitations)), Subject: Subject{Part: PartRecord},
			What: Contradicted{Law: record.LawAccepted, Entries: entries, All: len(entries)}})
	}
}

// acceptsMore tells whether something was accepted that is no finding and no limitation. How
// often something happened may have changed since, what it is and of what has not.
func (a *Assessment) acceptsMore(accepted []record.Acceptance) bool {
	type matter struct {
		Code    string
		Subject json.RawMessage
	}
	of := func(said json.RawMessage) string {
		var m matter
		if json.Unmarshal(said, &m) != nil {
			return ""
		}
		return m.Code + string(m.Subject)
	}
	shown := map[string]bool{}
	for _, f := range slices.Concat(a.findings, a.limitations) {
		shown[of(f.Said())] = true
	}
	return slices.ContainsFunc(accepted, func(one record.Acceptance) bool { return !shown[of(settledJSON(one.Said))] })
}
