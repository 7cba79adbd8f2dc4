package record

import (
	"slices"

	"loopwitness/commission/signal"
)

// Mended are the notes that were made after a missed operation, if the last attempt
// proved: what was done about it.
func (s *Outcome) Mended() []string {
	last := s.Last()
	if s.mendedAfter == 0 || !missed(s.attempts[s.mendedAfter-1]) || last == nil || !last.Verdict().Proves() {
		return nil
	}
	return slices.Clone(s.notes[s.mendedFrom:])
}

// SinceMended are the attempts that say how the detector is now: all, or those after the
// last repair.
func (s *Outcome) SinceMended() []Attempt {
	if s.Mended() == nil {
		return slices.Clone(s.attempts)
	}
	return slices.Clone(s.attempts[s.mendedAfter:])
}

// noted takes a note; one that follows a missed operation is taken for a repair, if the
// detector is proved then.
func (s *Outcome) noted(text string) {
	if n := len(s.attempts); n > s.mendedAfter && missed(s.attempts[n-1]) {
		s.mendedAfter, s.mendedFrom = n, len(s.notes)
	}
	s.notes = append(s.notes, text)
}

func missed(a Attempt) bool { return a.Operate.Missed() || a.complete() && !a.Verdict().Proves() }

// understood forgets a report that no rule understood once the zone was proved in an
// attempt without one: the mapping was mended.
func (r *Record) understood(sr *Outcome) {
	last := sr.Last()
	z := r.site.Zone(sr.step.Zone)
	if !last.Operate.garbled(z.Address) && !last.Restore.garbled(z.Address) { // proved, so that both are there
		delete(r.garbled, z.Address)
	}
}

// garbled tells whether a report of an address was heard that no rule understood.
func (t *Trial) garbled(address string) bool {
	return slices.ContainsFunc(t.heard, func(h Heard) bool {
		return h.Address == address && h.State == signal.NotUnderstood
	})
}
