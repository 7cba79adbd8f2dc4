package visit

import (
	"context"
	"errors"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// output energises a sounder, strobe or chime and asks what was heard or seen.
func (v *Visit) output(ctx context.Context, s *record.Outcome) error {
	o := v.outputOf(s)
	if v.observedBefore(s) {
		return v.concludeOutput(ctx, s, o, true)
	}
	what := ask.ToEnergise{Output: o.Name, Kind: o.Kind, Location: o.Location}
	if err := v.mayEnergise(ctx, s, o, what, ask.BothWaysAdvice); err != nil || s.Concluded() {
		return err
	}
	worked, err := v.observe(ctx, s, o)
	if err != nil {
		return err
	}
	return v.concludeOutput(ctx, s, o, worked)
}

// observation is the question under which what was heard or seen is kept.
const observation = "/observed"

// observedBefore tells whether it was heard or seen before a break: it need not
// sound again for the questions that follow.
func (v *Visit) observedBefore(s *record.Outcome) bool {
	return seen(v, func(r *record.Record) bool {
		text, _ := r.Given(s, s.Step().ID+observation)
		return text == string(record.Yes)
	})
}

// concludeOutput asks what else belongs to what was observed.
func (v *Visit) concludeOutput(ctx context.Context, s *record.Outcome, o *site.Output, worked bool) error {
	if worked {
		if err := v.outputReadings(ctx, s, o); err != nil {
			return err
		}
		return v.add(record.Answer{Step: s.Step().ID, Result: record.Works})
	}
	note, err := v.needed(ctx, s, "/note", ask.InsteadMatter, nil)
	if err != nil {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Fails, Remark: note})
}

// observe energises the output and asks what was heard or seen. The answer is
// written before it is switched off: that may take long when the connection is
// lost.
func (v *Visit) observe(ctx context.Context, s *record.Outcome, o *site.Output) (worked bool, err error) {
	off, err := v.switchOn(ctx, o)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, off()) }()
	question := ask.Question{
		ID:    s.Step().ID + "/heard",
		What:  ask.Observed{Output: o.Name},
		Help:  ask.OffByAnswerAdvice,
		Takes: ask.YesNo{},
	}
	if o.Kind == site.Strobe {
		question.ID, question.What = s.Step().ID+"/seen", ask.Observed{Output: o.Name, Seen: true}
	}
	if worked, err = v.yes(ctx, question); err != nil {
		return false, err
	}
	given := record.Given{Step: s.Step().ID, Question: s.Step().ID + observation, Text: string(record.No)}
	if worked {
		given.Text = string(record.Yes)
	}
	return worked, v.add(given)
}

// outputReadings takes what was measured while it was on; each may be left out.
func (v *Visit) outputReadings(ctx context.Context, s *record.Outcome, o *site.Output) error {
	asked := []struct {
		quantity record.Quantity
		id       string
		what     ask.Matter
		in       checks.Dimension
	}{
		{record.CurrentReading, "/current", ask.CurrentMatter, checks.Current},
		{record.CutOffReading, "/cut-off", ask.CutOffMatter, checks.Time},
	}
	if o.Kind == site.Sounder {
		if err := v.levelReading(ctx, s); err != nil {
			return err
		}
	}
	for _, a := range asked {
		if a.quantity == record.CutOffReading && o.Kind == site.Chime {
			continue
		}
		text, err := v.optional(ctx, s, a.id, a.what, nil, ask.Quantity{In: a.in})
		if err != nil {
			return err
		}
		if text == "" {
			continue
		}
		q, err := a.in.Parse(text)
		if err != nil {
			return err // an answer that was let pass
		}
		err = v.add(record.Reading{Step: s.Step().ID, Quantity: a.quantity, Value: q.SI, Unit: a.in.SI, AsTyped: q.Text})
		if err != nil {
			return err
		}
	}
	return nil
}

// levelReading takes a sound level, with what is known besides.
func (v *Visit) levelReading(ctx context.Context, s *record.Outcome) error {
	text, err := v.optional(ctx, s, "/level", ask.LevelMatter, ask.LevelAdvice, ask.SoundLevel{})
	if err != nil || text == "" {
		return err
	}
	l, err := ask.ParseLevel(text)
	if err != nil {
		return err // an answer that was let pass
	}
	return v.add(
		record.Reading{Step: s.Step().ID, Quantity: record.LevelReading, Value: l.Level, Unit: checks.SoundLevel.SI,
			AsTyped: text, Distance: l.Distance, Ambient: l.Ambient, MeterClass: l.MeterClass},
	)
}

func (v *Visit) outputOf(s *record.Outcome) *site.Output {
	return seen(
		v,
		func(r *record.Record) *site.Output { return r.Site().Output(s.Step().Output) },
	) // the fold has checked the name
}
