package judge

import (
	"time"
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
		told := ClockSet{Times: len(all), At: r.Local(all[0].At)}
		for _, one := range all {
			told.By += one.By
		}
		a.note(Finding{Subject: Subject{Part: PartComputer}, What: told.rounded()})
	}
}

// rounded is the step as a person reads it.
func (c ClockSet) rounded() ClockSet {
	c.By = c.By.Round(100 * time.Millisecond)
	return c
}
