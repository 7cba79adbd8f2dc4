package visit

import (
	"context"
	"errors"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// instrument asks what the supply is measured with.
func (v *Visit) instrument(ctx context.Context, s *record.Outcome) error {
	simulated := seen(v, func(r *record.Record) bool { return r.Listening().Simulated })
	name, err := v.needed(ctx, s, "", ask.Identify{Step: v.name(s)}, ask.IdentifierAdvice)
	if err != nil {
		return err
	}
	calibrated, err := v.optional(ctx, s, "/calibrated", ask.CalibrationMatter, nil, ask.Date{})
	if err != nil {
		return err
	}
	text, err := v.optional(ctx, s, "/uncertainty", ask.UncertaintyMatter, ask.DataSheetAdvice,
		ask.Quantity{In: checks.Voltage, NotNegative: true})
	if err != nil {
		return err
	}
	fact := record.Instrument{Step: s.Step().ID, Name: name, Calibrated: calibrated, Simulated: simulated}
	if text != "" {
		q, err := checks.Voltage.Parse(text)
		if err != nil {
			return err // an answer that was let pass
		}
		fact.Uncertainty = q.SI
	}
	return v.add(fact)
}

// reading waits until a voltage is due, energises the sounder where it is a
// reading under alarm load, and asks for it.
func (v *Visit) reading(ctx context.Context, s *record.Outcome) error {
	if err := v.due(ctx, s); err != nil || s.Concluded() {
		return err
	}
	if !s.Step().Load {
		if taken, err := v.sampled(ctx, s); taken || err != nil {
			return err
		}
		fact, err := v.voltage(ctx, s)
		if err != nil || s.Concluded() {
			return err
		}
		return v.add(fact)
	}
	o := v.outputOf(s)
	if err := v.mayEnergise(ctx, s, o, v.name(s), ask.SoundsWhile{Output: o.Name}); err != nil || s.Concluded() {
		return err
	}
	off, err := v.switchOn(ctx, o)
	if err != nil {
		return err
	}
	return errors.Join(v.loaded(ctx, s, o.Name), off())
}

// loaded takes a voltage that counts only if the output was on all the while:
// the entry is written before it is switched off.
func (v *Visit) loaded(ctx context.Context, s *record.Outcome, output string) error {
	fact, err := v.voltage(ctx, s)
	if err != nil || s.Concluded() {
		return err
	}
	if !v.isOn(output) {
		v.operator.Tell(ask.NotLoaded{Output: output})
		return nil
	}
	return v.add(fact)
}

// due lets the hold time pass. Signals go on being written meanwhile.
func (v *Visit) due(ctx context.Context, s *record.Outcome) error {
	var wait time.Duration
	if err := v.look(func(r *record.Record) { wait = r.ReadingDue(s.Step(), v.clock.Now()) }); err != nil || wait == 0 {
		return err
	}
	pressed, err := v.watch(
		ctx,
		ask.Watch{
			ID:    s.Step().ID + "/wait",
			Title: ask.OnStandby{Step: v.name(s)},
			Keys:  []ask.Key{ask.Skip, ask.Note, ask.Leave},
		},
		func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
			left := r.ReadingDue(s.Step(), now)
			return now.Add(left), ask.LeftStatus{Left: left.Round(time.Second)}, left == 0
		},
	)
	if err != nil {
		return err
	}
	switch pressed.Key {
	case ask.Skip:
		return v.leaveOut(ctx, s)
	case ask.Leave:
		return errLeave
	case ask.Note:
		if err := v.note(ctx, s); err != nil {
			return err
		}
		return v.due(ctx, s)
	}
	return nil
}

// voltage asks for one; the step is concluded if it cannot be measured.
func (v *Visit) voltage(ctx context.Context, s *record.Outcome) (record.Reading, error) {
	answer, err := v.operator.Ask(
		ctx,
		ask.Question{ID: s.Step().ID + "/voltage", What: ask.SupplyVoltage{Step: v.name(s)}, Help: ask.TerminalsAdvice,
			Takes: ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured}},
	)
	if err != nil {
		return record.Reading{}, err
	}
	if answer.Text == string(ask.NotMeasured) {
		return record.Reading{}, v.leaveOut(ctx, s)
	}
	volts, err := checks.Voltage.Parse(answer.Text)
	if err != nil {
		return record.Reading{}, err // an answer that was let pass
	}
	fact := record.Reading{
		Step:     s.Step().ID,
		Quantity: record.VoltageReading,
		Value:    volts.SI,
		Unit:     checks.Voltage.SI,
		AsTyped:  volts.Text,
	}
	err = v.look(func(r *record.Record) {
		if m := r.Voltmeter(); m != nil {
			fact.Uncertainty, fact.Instrument = m.Uncertainty, m.Name
		}
	})
	return fact, err
}

// act asks for something to be done to the supply.
func (v *Visit) act(ctx context.Context, s *record.Outcome) error {
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: judge.CautionMains},
		ask.Option{Word: string(record.Done), Label: ask.JustDoneChoice},
		ask.Option{Word: string(record.LeftOut), Label: ask.CannotChoice})
	if err != nil {
		return err
	}
	if answer.Text == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Done})
}

// path asks whether reporting off the premises survives as well.
func (v *Visit) path(ctx context.Context, s *record.Outcome) error {
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: ask.PathAdvice},
		ask.Option{Word: string(record.Yes), Label: ask.PathYesChoice},
		ask.Option{Word: string(record.No), Label: ask.PathNoChoice},
		ask.Option{Word: string(record.NotApplicable), Label: ask.PathNothingChoice},
		ask.Option{Word: string(record.LeftOut), Label: ask.PathUnknownChoice})
	if err != nil {
		return err
	}
	if answer.Text == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Result(answer.Text)})
}
