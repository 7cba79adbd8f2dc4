package record

import (
	"fmt"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
)

// Struck is why the trial counts no more, "" if it counts.
func (t *Trial) Struck() string { return t.struck }

// Struck is why the attempt counts no more, "" if it counts.
func (a Attempt) Struck() string { return a.Operate.struck }

// AsTaken is the attempt as if it had not been struck: what it showed.
func (a Attempt) AsTaken() Attempt {
	a.Operate, a.Restore = copied(a.Operate), copied(a.Restore)
	a.Operate.struck = ""
	if a.Restore != nil {
		a.Restore.struck = ""
	}
	return a
}

// Struck are the attempts that count no more, by their number, counted from 1.
func (s *Outcome) Struck() map[int]Attempt {
	out := map[int]Attempt{}
	for i, a := range s.attempts {
		if a.Struck() != "" {
			out[i+1] = a
		}
	}
	return out
}

// Standing are the numbers of the attempts that count: those that are complete, and those
// that count as missed. One that was struck is neither.
func (s *Outcome) Standing() []int {
	var out []int
	for i, a := range s.attempts {
		if a.complete() || a.Operate.Missed() {
			out = append(out, i+1)
		}
	}
	return out
}

// struck takes an attempt that counts no more. The verdict is that of the last one that
// stands; where none stands, or the last was not left as it is, the step is open.
func (r *Record) struck(e journal.Entry, f Struck) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	if f.Trial < 1 || f.Trial > len(sr.attempts) || sr.attempts[f.Trial-1].Struck() != "" || r.onTrial == sr {
		return refuse(LawStruck, fmt.Errorf("step %q has no trial %d to strike", f.Step, f.Trial))
	}
	if oneline.Blank(f.Reason) {
		return refuse(LawStruck, fmt.Errorf("trial %d of step %q is struck for no reason", f.Trial, f.Step))
	}
	before := sr.Last()
	a := sr.attempts[f.Trial-1]
	a.Operate.struck = f.Reason
	if a.Restore != nil {
		a.Restore.struck = f.Reason
	}
	last := sr.Last()
	if last == before || sr.Result() == LeftOut {
		return nil
	}
	r.takeAgain(sr)
	if last != nil && last.Verdict().Proves() {
		r.settle(sr, e)
	}
	return nil
}

// takeAgain opens a step that is taken again.
func (r *Record) takeAgain(sr *Outcome) {
	r.unsettle(r.leftOutWith(sr)...)
	r.unsettle(sr.step.ID)
	r.needsMainsOff(sr)
}
