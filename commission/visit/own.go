package visit

import (
	"context"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// What a technician did before we heard of it is judged over the signals that the journal
// holds: an operation that nobody was told to make, or a detector that was restored in their
// own time.

// since are the instants of a cue that is written late: its own, and that of the next
// detector's touch, zero for none.
type since struct{ at, until time.Time }

// ownCue writes a cue of the technician's own. It returns why the record cannot take it.
func (v *Visit) ownCue(c record.Cue, s *record.Outcome, from since) (t *record.Trial, refused, err error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	now := v.clock.Now()
	v.lookAround(now)
	c.Step, c.Own, c.BeforeNS = s.Step().ID, true, max(0, now.Sub(from.at).Nanoseconds())
	if !from.until.IsZero() && from.until.After(from.at) && from.until.Before(now) {
		c.UntilNS = now.Sub(from.until).Nanoseconds()
	}
	if err := v.write(v.intake.until(now)); err != nil {
		return nil, nil, err
	}
	late := v.lateAfter(s, &c, from.at)
	given := v.journal.Elapsed(now) - time.Duration(c.BeforeNS)
	if refused := v.record.CueFits(given, s.Step().Zone, true); refused != nil && c.BeforeNS > 0 {
		return nil, refused, nil
	}
	if err := v.addLocked(now, c); err != nil {
		return nil, nil, err
	}
	v.awake.timesSince(record.MostLate(s.Step(), v.record.HeardAt(s.Step())), late)
	return lastTrial(s, c.Half), nil, nil
}

// lateAfter is by how much the program may have stamped the answer to a cue too late that was
// given before we heard of it. By more than its kind of source allows, it times nothing. mu is
// held.
func (v *Visit) lateAfter(s *record.Outcome, c *record.Cue, given time.Time) time.Duration {
	if c.Tap == nil {
		return 0
	}
	listens := time.Duration(0)
	if z := v.record.Site().Zone(s.Step().Zone); z != nil {
		listens = v.record.Site().Limits.ListenFor[z.Kind].Duration()
	}
	late := v.awake.lateBetween(given, given.Add(listens))
	if late > record.MostLate(s.Step(), v.record.HeardAt(s.Step())) {
		c.Tap, c.UncertaintyNS, c.NotTimed = nil, 0, record.StampedLate
		return 0
	}
	return late
}

// restoring waits, for as long as the technician likes, until a detector is at rest again whose
// zone reported active at an instant.
func (v *Visit) restoring(ctx context.Context, s *record.Outcome, reported time.Time) (tried, error) {
	trial, refused, err := v.ownCue(record.Cue{Half: record.Restore, NotTimed: record.OwnTime}, s, since{at: reported})
	if err != nil {
		return tried{}, err
	}
	if refused != nil {
		v.operator.Tell(ask.CueTooOld{Why: refused})
		return tried{}, errAgain
	}
	return v.follow(ctx, s, trial, reported, v.awaitTrial)
}

// ownTrial writes a cue of the technician's own and waits, without a word, for the end of
// what came of it, which is over already or soon.
func (v *Visit) ownTrial(ctx context.Context, s *record.Outcome, c record.Cue, from since) (tried, error) {
	trial, refused, err := v.ownCue(c, s, from)
	if err != nil {
		return tried{}, err
	}
	if refused != nil {
		v.operator.Tell(ask.CueTooOld{Why: refused})
		return tried{}, errAgain
	}
	return v.follow(ctx, s, trial, from.at, v.awaitQuietly)
}

// awaitQuietly waits for the end of a trial that nobody need be told of.
func (v *Visit) awaitQuietly(ctx context.Context, _ *record.Outcome, trial *record.Trial, cueAt time.Time,
) (record.End, error) {
	for {
		var over bool
		var left time.Duration
		if err := v.look(func(r *record.Record) {
			t, _ := r.Trial()
			left = cueAt.Add(trial.Deadline()).Sub(v.clock.Now())
			over = t != trial || left <= 0
		}); err != nil || over {
			return record.ByTime, err
		}
		if !v.pause(ctx, min(left, tick)) {
			return "", ctx.Err()
		}
	}
}

// credit writes both halves of an operation that nobody was told to make. A touch times it,
// where the record can take it.
func (v *Visit) credit(ctx context.Context, s *record.Outcome, op record.Operation, touch *touched,
	why record.Untimed) (operated, restored tried, err error) {
	at, _ := v.instant(op.At)
	operated, err = v.creditOperated(ctx, s, at, touch, why, time.Time{})
	if err != nil || !operated.Answered() {
		return operated, restored, err
	}
	restored, err = v.restoredInOwnTime(ctx, s, at, time.Time{})
	return operated, restored, err
}

// creditOperated writes that a detector was operated whose zone reported at an instant.
func (v *Visit) creditOperated(ctx context.Context, s *record.Outcome, reported time.Time, touch *touched,
	why record.Untimed, until time.Time) (tried, error) {
	if touch != nil && seen(v, func(r *record.Record) bool {
		return r.CueFits(v.journal.Elapsed(touch.at), s.Step().Zone, true) == nil
	}) {
		_, uncertainty := touch.tap.At()
		return v.ownTrial(ctx, s, record.Cue{Half: record.Operate, Tap: &touch.tap,
			UncertaintyNS: uncertainty.Nanoseconds()}, since{touch.at, until})
	}
	return v.ownTrial(ctx, s, record.Cue{Half: record.Operate, NotTimed: why}, since{reported.Add(-1), until})
}

// restoredInOwnTime writes that a detector is at rest again whose zone reported active at an
// instant.
func (v *Visit) restoredInOwnTime(ctx context.Context, s *record.Outcome, reported, until time.Time) (tried, error) {
	return v.ownTrial(ctx, s, record.Cue{Half: record.Restore, NotTimed: record.OwnTime}, since{reported, until})
}

// instant is an instant of this run that is counted from its first entry, and now.
func (v *Visit) instant(elapsed time.Duration) (at, now time.Time) {
	now = v.clock.Now()
	return now.Add(elapsed - v.journal.Elapsed(now)), now
}

// touched is a touch on the clock of this run; one that times nothing, for a reason, at the
// instant at which it came.
type touched struct {
	at   time.Time
	tap  record.Tap
	why  record.Untimed
	used bool
}

// restoredBefore tells whether the zone of a detector that was operated before we heard of it
// is at rest again.
func (v *Visit) restoredBefore(s *record.Outcome, operated tried) bool {
	return seen(v, func(r *record.Record) bool {
		z := r.Site().Zone(s.Step().Zone)
		return operated.trial.Own() && z != nil && r.StateOf(z.Address) == signal.Restored
	})
}

// heardBefore is the operation of a detector's zone that the technician's touch belongs to
// although nothing can be timed by it: where the touch was kept and comes from after the
// report, or where nobody knows when it was given. Of a bank nobody knows then whose it is.
func (v *Visit) heardBefore(s *record.Outcome, ready ask.Pressed) (op record.Operation, why record.Untimed) {
	if s.Step().Kind != programme.StepDetector || ready.Tap == nil && ready.NotTimed == "" {
		return op, ""
	}
	_ = v.look(func(r *record.Record) {
		now := v.clock.Now()
		from := max(r.LastTrialEnded(), v.journal.Elapsed(v.walking))
		c, given := v.pressedCue(s, record.Operate, ready, now)
		if c.NotTimed == "" && !c.Own {
			return
		}
		at := v.journal.Elapsed(given)
		for _, o := range r.Operations(from) {
			during := o.At <= at && (o.Restored == 0 || at <= o.Restored)
			alone := len(r.Site().Zone(o.Zone).Detectors) == 1
			if o.Zone == s.Step().Zone && (c.NotTimed != "" && alone || c.NotTimed == "" && during) {
				op, why = o, c.NotTimed
				if why == "" {
					why = record.NoTouch
				}
				return
			}
		}
	})
	return op, why
}

// takenBefore takes what was heard of a detector before its cue, and tells whether there was
// such a thing. One that was restored since is done with; else it is still to be restored.
func (v *Visit) takenBefore(ctx context.Context, s *record.Outcome, ready ask.Pressed) (
	operated tried, is bool, err error,
) {
	op, why := v.heardBefore(s, ready)
	if why == "" {
		return operated, false, nil
	}
	at, _ := v.instant(op.At)
	operated, err = v.creditOperated(ctx, s, at, nil, why, ready.Until)
	return operated, true, err
}
