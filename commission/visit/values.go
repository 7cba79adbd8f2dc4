package visit

import (
	"context"
	"errors"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

var valueOption = ask.Option{Word: "value", Label: ask.ValueChoice}

// presumed is what stands beside a line unless something else is typed: what the site file
// says of it, or for a time of the day now; "" for nothing.
func presumed(r *record.Record, step programme.Step, now time.Time) string {
	if text := programme.Declared(r.Site(), step); text != "" && step.Value.Check(text) == nil {
		return text
	}
	if step.Value == programme.TimeValue && !step.Optional {
		return r.Local(now).Format(programme.ClockLayout)
	}
	return ""
}

// valueOf is what is asked of a line, and the value that stands there.
func (v *Visit) valueOf(s *record.Outcome) (what ask.Phrase, value string) {
	what, now := v.name(s), v.clock.Now()
	if value = seen(v, func(r *record.Record) string { return presumed(r, s.Step(), now) }); value != "" {
		what = ask.WithValue{Line: v.name(s), Value: value}
	}
	return what, value
}

// typedValue asks for the value of a line; to leave it out goes back.
func (v *Visit) typedValue(ctx context.Context, s *record.Outcome) (string, error) {
	value, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID + "/value", What: ask.ValueMatter{Line: v.name(s)},
		Takes: takesValue(s.Step().Value), Optional: true, Back: true})
	if err == nil && value == "" {
		err = errBack
	}
	return value, err
}

func takesValue(k programme.ValueKind) ask.Takes {
	switch k {
	case programme.TimeValue:
		return ask.TimeOfDay{}
	case programme.DateValue:
		return ask.Date{}
	}
	return ask.Line{}
}

// usualValue answers a line of a list that is as it should be. What nobody knows is left out,
// and is a limitation by name.
func (v *Visit) usualValue(ctx context.Context, s *record.Outcome) error {
	_, value := v.valueOf(s)
	return v.answerValue(ctx, s, value)
}

func (v *Visit) answerValue(ctx context.Context, s *record.Outcome, value string) error {
	answer := record.Answer{Step: s.Step().ID, Result: record.Done, Value: value}
	if value == "" && !s.Step().Optional {
		typed, err := v.optional(ctx, s, "/value", ask.ValueMatter{Line: v.name(s)}, nil, takesValue(s.Step().Value))
		if err != nil {
			return err
		}
		if answer.Value = typed; typed == "" {
			answer.Result = record.LeftOut
		}
	}
	return v.add(answer)
}

// sameValue asks once for a value of every detector of a kind.
func (v *Visit) sameValue(ctx context.Context, first *record.Outcome, kind site.DetectorKind) (string, error) {
	line := seen(v, func(r *record.Record) programme.Name { return lineOf(r, first) })
	return v.ask(ctx, ask.Question{ID: "list/walk-test/" + string(kind) + "/" + string(first.Step().Item),
		What: ask.ValueMatter{Line: line, Of: kind}, Takes: takesValue(first.Step().Value), Optional: true})
}

// valuesOfKind answers the lines of a kind that ask for a value, the same at each detector.
func (v *Visit) valuesOfKind(ctx context.Context, lines []*record.Outcome, kind site.DetectorKind) error {
	values := map[programme.ItemCode]string{}
	for _, o := range lines {
		step := o.Step()
		leftOut := seen(v, func(r *record.Record) bool { return r.LeftOutAt(step.Point) })
		if o.Concluded() || step.Value == "" || step.Optional || leftOut {
			continue
		}
		value, asked := values[step.Item]
		if !asked {
			var err error
			if value, err = v.sameValue(ctx, o, kind); err != nil {
				return err
			}
			values[step.Item] = value
		}
		answer := record.Answer{Step: step.ID, Result: record.Done, Value: value}
		if value == "" {
			answer.Result = record.LeftOut
		}
		if err := v.add(answer); err != nil {
			return err
		}
	}
	return nil
}

// begunOtherwise asks to its end what somebody had begun to answer before a break.
func (v *Visit) begunOtherwise(ctx context.Context, lines []*record.Outcome) error {
	for _, o := range lines {
		begun := seen(v, func(r *record.Record) bool {
			_, given := r.AnsweredBefore(o, o.Step().ID)
			return given && !o.Concluded()
		})
		for begun {
			err := v.item(ctx, o, alone)
			if begun = errors.Is(err, errBack); err != nil && !begun {
				return err
			}
		}
	}
	return nil
}
