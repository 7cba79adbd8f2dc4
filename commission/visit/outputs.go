package visit

import (
	"context"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// output energises a sounder, strobe or chime, asks what was heard or seen, and what is
// measured while it is on.
func (v *Visit) output(ctx context.Context, s *record.Outcome) error {
	o := v.outputOf(s)
	if v.observedBefore(s) && v.measuredBefore(s, o) {
		return v.works(ctx, s, o)
	}
	what := ask.ToEnergise{Output: o.Name, Kind: o.Kind, Location: o.Location}
	err := v.mayEnergise(ctx, s, []*site.Output{o}, longestSound, what, ask.BothWaysAdvice)
	if err != nil || s.Concluded() {
		return err
	}
	worked, err := v.observe(ctx, s, o)
	switch {
	case err != nil:
		return err
	case worked:
		return v.works(ctx, s, o)
	}
	note, err := v.needed(ctx, s, "/note", ask.InsteadMatter, nil)
	if err != nil {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Fails, Remark: note})
}

// observation is the question under which what was heard or seen is kept.
const observation = "/observed"

// observedBefore tells whether it was heard or seen before a break: it need not
// sound again for the questions that follow.
func (v *Visit) observedBefore(s *record.Outcome) bool {
	return seen(v, func(r *record.Record) bool {
		text, _ := r.AnsweredBefore(s, s.Step().ID+observation)
		return text == string(record.Yes)
	})
}

// measuredBefore tells whether all that is measured while it is on was answered before a
// break, and written as a reading: a silent output has nothing to measure.
func (v *Visit) measuredBefore(s *record.Outcome, o *site.Output) bool {
	all := map[string]record.Quantity{"/current": record.CurrentReading}
	if o.Kind == site.Sounder {
		all["/level"] = record.LevelReading
	}
	return seen(v, func(r *record.Record) bool {
		for question, quantity := range all {
			text, given := r.AnsweredBefore(s, s.Step().ID+question)
			if !given || text != "" && !readAs(s, quantity, text) {
				return false
			}
		}
		return true
	})
}

// readAs tells whether an answer was written as the last reading of its quantity, before a
// break came between the two.
func readAs(s *record.Outcome, quantity record.Quantity, answer string) bool {
	r := s.ReadingWhileOn(quantity)
	if r == nil || r.AsTyped == answer {
		return r != nil
	}
	q, err := checks.Current.Parse(answer)
	return quantity == record.CurrentReading && err == nil && q.Text == r.AsTyped
}

// works concludes an output that was heard or seen, with what is still asked of it.
func (v *Visit) works(ctx context.Context, s *record.Outcome, o *site.Output, asked ...func() error) error {
	if o.Kind != site.Chime {
		asked = append(asked,
			func() error { return v.cutOffSeen(ctx, s, o) }, func() error { return v.cutOffWaited(ctx, s, o) })
	}
	if err := v.inTurn(s, asked...); err != nil {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Works})
}

// observe energises the output and asks what was heard or seen, and what is measured
// while it is on. Each answer is written before it is switched off: that may take long
// when the connection is lost.
func (v *Visit) observe(ctx context.Context, s *record.Outcome, o *site.Output) (worked bool, err error) {
	off, err := v.switchOn(ctx, o, longestSound)
	if err != nil {
		return false, err
	}
	defer func() { err = thenOff(err, off) }()
	asked := []func() error{func() error { worked, err = v.observed(ctx, s, o); return err }}
	for _, measure := range v.measures(ctx, s, o) {
		asked = append(asked, func() error {
			if !worked {
				return nil
			}
			return measure()
		})
	}
	return worked, v.inTurn(s, asked...)
}

// observed asks what was heard or seen, unless that was answered before a break.
func (v *Visit) observed(ctx context.Context, s *record.Outcome, o *site.Output) (bool, error) {
	if v.observedBefore(s) {
		return true, nil
	}
	worked, err := v.wasObserved(ctx, s, o)
	if err != nil {
		return false, err
	}
	given := record.PartAnswer{Step: s.Step().ID, Question: s.Step().ID + observation, Text: string(record.No)}
	if worked {
		given.Text = string(record.Yes)
	}
	return worked, v.add(given)
}

// wasObserved asks it. Once the output is off, by whatever, the question is put again: it is
// of the time in which it was on.
func (v *Visit) wasObserved(ctx context.Context, s *record.Outcome, o *site.Output) (bool, error) {
	question := ask.Question{ID: s.Step().ID + "/heard", Help: ask.OffByAnswerAdvice, Takes: ask.YesNo{}}
	seenNotHeard := o.Kind == site.Strobe
	if seenNotHeard {
		question.ID = s.Step().ID + "/seen"
	}
	question.What = ask.Observed{Output: o.Name, Seen: seenNotHeard}
	standing, done := v.whileStillOn(ctx, o.Name)
	worked, err := v.yes(standing, question)
	offMeanwhile := err != nil && standing.Err() != nil && ctx.Err() == nil
	done()
	if !offMeanwhile {
		return worked, err
	}
	until := ask.ObservedUntil{Output: o.Name, Seen: seenNotHeard}
	_ = v.look(func(r *record.Record) { until.At, until.On, until.Why, _ = r.WentOff(o.Name) })
	question.What, question.Help = until, nil
	return v.yes(ctx, question)
}

// whileStillOn is a context that ends when an output is off.
func (v *Visit) whileStillOn(ctx context.Context, output string) (context.Context, func()) {
	ctx, cancel := context.WithCancel(ctx)
	v.mu.Lock()
	v.again.output, v.again.put = output, cancel
	if !v.record.IsOn(output) {
		cancel()
	}
	v.mu.Unlock()
	return ctx, func() {
		v.mu.Lock()
		v.again.output, v.again.put = "", nil
		v.mu.Unlock()
		cancel()
	}
}

// putAgain ends the question that stood while an output was on.
func (v *Visit) putAgain(output string) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.again.put != nil && v.again.output == output {
		v.again.put()
	}
}

// measures ask for what is measured while an output is on; each may be left out.
func (v *Visit) measures(ctx context.Context, s *record.Outcome, o *site.Output) []func() error {
	current := ask.Question{ID: s.Step().ID + "/current", What: ask.CurrentMatter, Help: ask.NotAtOnceAdvice,
		Takes: ask.Quantity{In: checks.Current}, Plausible: &ask.PlausibleDrawn, Optional: true}
	asked := []func() error{func() error {
		return v.whileOn(ctx, s, o, current, func(a ask.Answer) (record.Reading, error) {
			return readingOf(s, record.CurrentReading, checks.Current, a)
		})
	}}
	if o.Kind != site.Sounder {
		return asked
	}
	level := ask.Question{ID: s.Step().ID + "/level", What: ask.LevelMatter, Help: ask.LevelAdvice,
		Takes: ask.SoundLevel{}, Optional: true}
	return append([]func() error{func() error {
		return v.whileOn(ctx, s, o, level, func(a ask.Answer) (record.Reading, error) { return levelOf(s, a) })
	}}, asked...)
}

// whileOn takes a reading of an output that is on. One that is answered when it is off is
// kept as such: the record knows that it was.
func (v *Visit) whileOn(
	ctx context.Context,
	s *record.Outcome,
	o *site.Output,
	q ask.Question,
	reading func(ask.Answer) (record.Reading, error),
) error {
	before := seen(v, func(r *record.Record) bool { _, given := r.AnsweredBefore(s, q.ID); return given })
	if !before && !v.isOn(o.Name) {
		return nil // it is of now
	}
	answer, err := v.keepAnswer(ctx, s, q)
	if err != nil || answer.Text == "" {
		return err
	}
	fact, err := reading(answer)
	if err != nil {
		return err // an answer that was let pass
	}
	if before && seen(v, func(*record.Record) bool { return readAs(s, fact.Quantity, answer.Text) }) {
		return nil
	}
	if !v.isOn(o.Name) {
		v.operator.Tell(ask.OffMeanwhile{Output: o.Name})
	}
	return v.add(fact)
}

// levelOf is a sound level, with what is known besides.
func levelOf(s *record.Outcome, answer ask.Answer) (record.Reading, error) {
	l, err := checks.ParseLevel(answer.Text)
	return record.Reading{Step: s.Step().ID, Quantity: record.LevelReading, Value: l.Level, Unit: checks.SoundLevel.SI,
		AsTyped: answer.Text, Distance: l.Distance, DistanceUncertainty: l.DistanceUncertainty, Ambient: l.Ambient,
		Weighting: l.Weighting, MeterClass: l.MeterClass, Confirmed: answer.Confirmed}, err
}

func (v *Visit) outputOf(s *record.Outcome) *site.Output {
	return seen(
		v,
		func(r *record.Record) *site.Output { return r.Site().Output(s.Step().Output) },
	) // the fold has checked the name
}
