package visit

import (
	"errors"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// redoable is what the last reading or answer belongs to, nil where there is none to
// take again: while a trial waits, nothing is.
func (v *Visit) redoable() ask.Phrase {
	return seen(v, func(r *record.Record) ask.Phrase {
		latest := r.LatestTaken()
		if t, _ := r.Trial(); latest == nil || t != nil {
			return nil
		}
		return programme.NameOf(r.Site(), latest.Step())
	})
}

// redo goes back to the step of the last reading or answer. What was taken before stays
// in the journal.
func (v *Visit) redo() error {
	latest := seen(v, (*record.Record).LatestTaken)
	if latest == nil {
		return nil
	}
	if latest.Concluded() {
		if err := v.add(record.Reopened{Step: latest.Step().ID}); err != nil {
			return err
		}
	}
	return v.add(record.Entered{Stage: latest.Step().Stage, Step: latest.Step().ID})
}

// inTurn asks several things of one step. To take the last answer again goes back by one
// of them, and from the first of them out of the step. What was answered before a break
// is asked again then.
func (v *Visit) inTurn(s *record.Outcome, asked ...func() error) error {
	return inTurn(func() error { return v.add(record.Reopened{Step: s.Step().ID}) }, asked...)
}

// inTurn asks several things, and lets back do what is to be done before it goes back by
// one of them.
func inTurn(back func() error, asked ...func() error) error {
	for i := 0; i < len(asked); i++ {
		err := asked[i]()
		switch {
		case errors.Is(err, errRedo) && i > 0:
			if err := back(); err != nil {
				return err
			}
			i -= 2
		case err != nil:
			return err
		}
	}
	return nil
}

// withRedo are the keys of a wait, with the one that takes the last reading or answer
// again where there is one.
func (v *Visit) withRedo(keys ...ask.Key) []ask.Key {
	if v.redoable() == nil {
		return keys
	}
	return append(keys, ask.Redo)
}
