package visit

import (
	"context"
	"errors"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// cutOffWaited lets an output be on until it stops by itself, where the site file declares
// that it does, and the technician wants to wait for it.
func (v *Visit) cutOffWaited(ctx context.Context, s *record.Outcome, o *site.Output) error {
	if !v.worthWaiting(s, o) {
		return nil
	}
	wait, err := v.yes(ctx, ask.Question{ID: s.Step().ID + "/until-stopped",
		What: ask.UntilStopped{Output: o.Name, CutOff: o.CutOff.Duration()}, Takes: ask.YesNo{}, Optional: true})
	if err != nil || !wait {
		return err
	}
	help := ask.OffSoon{Most: record.WaitedFor(o.CutOff.Duration())}
	err = v.confirmLoud(ctx, s.Step().ID+"/until-stopped", []*site.Output{o}, help)
	if err == nil {
		err = v.untilStopped(ctx, s, o)
	}
	if errors.Is(err, errBack) {
		return nil // it is not waited for
	}
	return err
}

// worthWaiting tells whether an output is declared to stop by itself, and was not seen to.
func (v *Visit) worthWaiting(s *record.Outcome, o *site.Output) bool {
	return o.CutOff.SI > 0 && !v.readSince(s, o, record.CutOffReading)
}

// readSince tells whether a quantity was read since an output was energised the last time.
func (v *Visit) readSince(s *record.Outcome, o *site.Output, quantity record.Quantity) bool {
	return seen(v, func(r *record.Record) bool {
		taken := s.Reading(quantity)
		return taken != nil && !taken.At.Before(r.OnSince(o.Name))
	})
}

// cutOffSeen asks after which time an output stopped by itself, no longer than it was on;
// left out, it was not observed.
func (v *Visit) cutOffSeen(ctx context.Context, s *record.Outcome, o *site.Output) error {
	takes := ask.Quantity{In: checks.Time}
	v.limitTo(&takes, o)
	answer, err := v.keepAnswer(ctx, s, ask.Question{ID: s.Step().ID + "/cut-off", What: ask.CutOffMatter, Takes: takes,
		Optional: true})
	if err != nil || answer.Text == "" {
		return err
	}
	fact, err := readingOf(s, record.CutOffReading, checks.Time, answer)
	if err != nil {
		return err // an answer that was let pass
	}
	return v.add(fact)
}

// limitTo lets a time be no longer than an output was on, in whole seconds. Where it is
// on still, as after a switch that was to be turned by hand, nobody knows yet.
func (v *Visit) limitTo(takes *ask.Quantity, o *site.Output) {
	_ = v.look(func(r *record.Record) {
		if lasted, over := r.Sounded(o.Name); over {
			most := (lasted + time.Second - 1).Truncate(time.Second)
			takes.Most = &most
		}
	})
}

// untilStopped energises an output and waits until it stops by itself, which nobody but
// the technician sees.
func (v *Visit) untilStopped(ctx context.Context, s *record.Outcome, o *site.Output) (err error) {
	most := record.WaitedFor(o.CutOff.Duration())
	off, err := v.switchOn(ctx, o, most+switchLimit)
	if err != nil {
		return err
	}
	defer func() { err = thenOff(err, off) }()
	began := v.clock.Now()
	pressed, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/stopped", Title: ask.Sounding{Output: o.Name},
		Lines: []ask.Phrase{ask.UntilItStops}, Keys: []ask.Key{ask.Stopped, ask.Leave}},
		func(_ *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
			return began.Add(most), ask.SoundingStatus{Since: now.Sub(began), Most: most}, false
		})
	if err != nil || pressed.Key == ask.Leave {
		return err // it was not observed
	}
	fact := record.Reading{Step: s.Step().ID, Quantity: record.CutOffReading, Unit: checks.Time.SI}
	after := v.instantOf(pressed, began).Sub(began)
	fact.Value, fact.Exceeded = after.Seconds(), pressed.Key == ""
	fact.AsTyped = checks.FormatDuration(after.Round(100 * time.Millisecond))
	if fact.Exceeded {
		fact.AsTyped = "> " + fact.AsTyped
		v.operator.Tell(ask.DidNotStop{Output: o.Name, After: after})
	} else {
		v.operator.Tell(ask.StoppedAfter{Output: o.Name, After: after})
	}
	return v.add(fact)
}
