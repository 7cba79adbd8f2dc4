package visit

import (
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// pressedCue is the cue that a key gives that is taken now, and when it was given. mu is
// held.
func (v *Visit) pressedCue(s *record.Outcome, half record.Half, p ask.Pressed, now time.Time) (
	c record.Cue, given time.Time,
) {
	c = record.Cue{Step: s.Step().ID, Half: half, NotTimed: p.NotTimed}
	given = now
	switch {
	case p.NotTimed != "":
	case p.Tap != nil:
		at, by, why := v.touch(p, now)
		if c.NotTimed = why; why != "" {
			break
		}
		c.Tap = &by
		_, uncertainty := by.At()
		c.UncertaintyNS = uncertainty.Nanoseconds()
		if at.Before(now) {
			given = at
		}
		// Who touches is told by nobody, and lets it go back when they like.
		c.Own = s.Step().Kind == programme.StepDetector && !v.record.Listening().ByHand
	case !p.At.IsZero():
		c.UncertaintyNS = p.Uncertainty.Nanoseconds()
		if p.At.Before(now) {
			given = p.At
		}
	}
	c.BeforeNS = now.Sub(given).Nanoseconds()
	if !p.Until.IsZero() && p.Until.After(given) && p.Until.Before(now) {
		c.UntilNS = now.Sub(p.Until).Nanoseconds()
	}
	if s.Step().Kind != programme.StepDetector {
		c.NotTimed, c.UntilNS = "", 0 // a restart or a chime: what is not known is now
	}
	return c, given
}

// touch is when a touch was given, with its bounds on the clock of this run, or why that is
// not known. One that seems to come from after now, by more than is known, was taken by
// another clock.
func (v *Visit) touch(p ask.Pressed, now time.Time) (at time.Time, tap record.Tap, why record.Untimed) {
	tap = *p.Tap
	if !p.TapZero.IsZero() {
		zero := v.journal.Elapsed(p.TapZero).Nanoseconds()
		tap.EarliestNS += zero
		tap.LatestNS += zero
	}
	elapsed, uncertainty := tap.At()
	after := elapsed - v.journal.Elapsed(now)
	switch {
	case tap.LatestNS-tap.EarliestNS > 2*record.WidestTap.Nanoseconds():
		return now, tap, record.ClockWide
	case tap.Check() != nil || after > uncertainty:
		return now, tap, record.ClockUnknown
	}
	return now.Add(after), tap, ""
}

// ownTap is an instant of this computer's clock as a touch: of a key of its own, or the end
// of its own count. Nothing lies between its clock and the run's.
func (v *Visit) ownTap(at time.Time, by record.TapBy) *record.Tap {
	return &record.Tap{DeviceNS: v.journal.Elapsed(at).Nanoseconds(), By: by}
}

// instantOf is when a key was pressed that answers a cue.
func (v *Visit) instantOf(p ask.Pressed, cueAt time.Time) time.Time {
	now := v.clock.Now()
	if p.Tap != nil {
		if at, _, why := v.touch(p, now); why == "" {
			p.At = at
		}
	}
	switch {
	case p.At.IsZero() || p.At.After(now):
		return now
	case p.At.Before(cueAt):
		return cueAt
	}
	return p.At
}

// answeredAt is when a key was pressed that answers the cue of a trial. Where one device
// stamped both, its clock alone tells how long that was: the offset is the same.
func (v *Visit) answeredAt(p ask.Pressed, t *record.Trial, cueAt time.Time) time.Time {
	at := v.instantOf(p, cueAt)
	cue := t.Tap()
	if p.Tap == nil || cue == nil {
		return at
	}
	_, one := cue.At()
	_, other := p.Tap.At()
	same := cueAt.Add(time.Duration(p.Tap.DeviceNS - cue.DeviceNS))
	if same.Sub(at).Abs() > one+other || same.Before(cueAt) || same.After(v.clock.Now()) {
		return at // another clock's
	}
	return same
}
