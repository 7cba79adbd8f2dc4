package judge

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// mainsOff removes mains, after the battery was disconnected and connected again.
func (s *story) mainsOff() {
	s.t.Helper()
	for _, id := range []string{programme.IDBatteryOff, programme.IDBatteryOn, programme.IDMainsOff} {
		if s.record.Find(id) != nil {
			s.tell(done(id)...)
		}
	}
}

// faultsSeen answers what is open of faults of the supply.
func (s *story) faultsSeen() {
	s.t.Helper()
	for _, o := range s.record.Outcomes() {
		if o.Step().Kind == programme.StepFault && !o.Concluded() {
			s.tell(s.wellTold(o.Step())...)
		}
	}
}

// wellTold is what is answered about a fault whose cause was made and ended; one whose cause
// was not made is left out, as that was.
func (s *story) wellTold(step programme.Step) []any {
	f, made := s.record.FaultSignal(step.Aspect())
	if !made || f.Ended.IsZero() {
		return []any{answer(step.ID, record.LeftOut, "no cause")}
	}
	return []any{answer(step.ID, record.AtController)}
}
