package visit

import (
	"context"
	"errors"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// instrument asks what the supply is measured with. Where no voltmeter is at hand, the
// step is left out with a reason.
func (v *Visit) instrument(ctx context.Context, s *record.Outcome) error {
	simulated := seen(v, func(r *record.Record) bool { return r.Listening().Simulated })
	fact := record.Instrument{Step: s.Step().ID, Simulated: simulated}
	uncertainty := ""
	err := v.inTurn(s, func() (err error) {
		fact.Name, err = v.keep(ctx, s, ask.Question{ID: s.Step().ID, What: ask.Identify{Step: v.name(s)},
			Help: ask.IdentifierAdvice, Takes: ask.Line{Instead: ask.NotMeasured}})
		return err
	}, func() (err error) {
		if fact.Name == string(ask.NotMeasured) {
			return v.leaveOut(ctx, s)
		}
		fact.Calibrated, err = v.optional(
			ctx,
			s,
			"/calibrated",
			ask.CalibrationMatter,
			nil,
			ask.Date{To: seen(v, (*record.Record).FarthestDay)},
		)
		return err
	}, func() (err error) {
		if s.Concluded() {
			return nil
		}
		uncertainty, err = v.optional(ctx, s, "/uncertainty", ask.UncertaintyMatter, ask.DataSheetAdvice,
			ask.Quantity{In: checks.Voltage, NotNegative: true})
		return err
	})
	if err != nil || s.Concluded() {
		return err
	}
	if uncertainty != "" {
		q, err := checks.Voltage.Parse(uncertainty)
		if err != nil {
			return err // an answer that was let pass
		}
		fact.Uncertainty = q.SI
	}
	return v.add(fact)
}

// reading waits until a reading is due, and asks for it. Those under alarm load that are
// open are taken in one go, so that it sounds once for them.
func (v *Visit) reading(ctx context.Context, s *record.Outcome) error {
	if err := v.due(ctx, s); err != nil || s.Concluded() {
		return err
	}
	if s.Step().Load {
		return v.underLoad(ctx, s)
	}
	if taken, err := v.sampled(ctx, s); taken || err != nil {
		return err
	}
	fact, err := v.measure(ctx, s)
	if err != nil || s.Concluded() {
		return err
	}
	return v.add(fact)
}

// underLoad energises all that an alarm does, and takes the readings for which it has to
// be on.
func (v *Visit) underLoad(ctx context.Context, s *record.Outcome) error {
	outputs := seen(v, func(r *record.Record) []*site.Output { return r.Site().AlarmOutputs() })
	err := v.mayEnergise(ctx, s, outputs, record.LongestLoad, v.name(s), ask.SoundsWhile{Outputs: namesOf(outputs)})
	if err != nil || s.Concluded() {
		return err
	}
	off, err := v.switchOnAll(ctx, outputs, record.LongestLoad)
	if err != nil {
		return err
	}
	var asked []func() error
	for _, open := range v.openLoads(s) {
		asked = append(asked, func() error { return v.loaded(ctx, open, outputs) })
	}
	err = thenOff(inTurn(func() error { return nil }, asked...), off)
	if errors.Is(err, errNotLoaded) {
		return nil // it is told, and what is open is asked for again
	}
	return err
}

// openLoads are the open steps of readings under alarm load, from one of them on.
func (v *Visit) openLoads(s *record.Outcome) []*record.Outcome {
	return seen(v, func(r *record.Record) (open []*record.Outcome) {
		all := r.Outcomes()
		for _, other := range all[slices.Index(all, s):] {
			if other.Step().Load && !other.Concluded() {
				open = append(open, other)
			}
		}
		return open
	})
}

// belongingTo are the open readings that are taken only while a step energises.
func (v *Visit) belongingTo(s *record.Outcome) []*record.Outcome {
	if !s.Step().Load {
		return nil
	}
	return slices.DeleteFunc(v.openLoads(s), func(o *record.Outcome) bool { return o == s || !o.Step().Optional })
}

// errNotLoaded says that the load was gone before a reading was answered.
var errNotLoaded = errors.New("not loaded")

// loaded takes a reading that counts only if all outputs were on all the while: the
// entry is written before they are switched off. One that was taken already in this go
// is taken again.
func (v *Visit) loaded(ctx context.Context, s *record.Outcome, outputs []*site.Output) error {
	if s.Concluded() {
		if err := v.add(record.Reopened{Step: s.Step().ID}); err != nil {
			return err
		}
	}
	fact, err := v.measure(ctx, s)
	if err != nil || s.Concluded() {
		return err
	}
	if !seen(v, (*record.Record).LoadedAll) {
		v.operator.Tell(ask.NotLoaded{Outputs: namesOf(outputs)})
		return errNotLoaded
	}
	return v.add(fact)
}

// due lets the hold time pass. Signals go on being written meanwhile.
func (v *Visit) due(ctx context.Context, s *record.Outcome) error {
	var wait time.Duration
	if err := v.look(func(r *record.Record) {
		wait = r.ReadingDue(s.Step(),
			v.journal.Elapsed(v.clock.Now()))
	}); err != nil ||
		wait == 0 {
		return err
	}
	var title ask.Phrase = ask.OnStandby{Step: v.name(s)}
	if s.Step().ID == programme.IDCharging {
		title = ask.OnChargeAgain{Step: v.name(s)}
	}
	pressed, err := v.watch(
		ctx,
		ask.Watch{
			ID:    s.Step().ID + "/wait",
			Title: title,
			Keys:  v.withRedo(ask.Skip, ask.Note, ask.Leave),
		},
		func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
			left := r.ReadingDue(s.Step(), v.journal.Elapsed(now))
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
	case ask.Redo:
		return errRedo
	case ask.Note:
		if err := v.note(ctx, s); err != nil {
			return err
		}
		return v.due(ctx, s)
	}
	return nil
}

// measure asks for the voltage or current of a step; the step is concluded if it cannot
// be measured, or is left out where it may be.
func (v *Visit) measure(ctx context.Context, s *record.Outcome) (record.Reading, error) {
	q, quantity, in := v.voltageQuestion(s), record.VoltageReading, checks.Voltage
	if s.Step().OfCurrent() {
		q, quantity, in = v.currentQuestion(s), record.CurrentReading, checks.Current
	}
	answer, err := v.operator.Ask(ctx, q)
	switch {
	case err != nil:
		return record.Reading{}, err
	case answer.Text == "":
		return record.Reading{}, v.leaveUnmeasured(s)
	case answer.Text == string(ask.NotMeasured) && s.Step().ID == programme.IDCharging:
		return record.Reading{}, v.chargesByIndication(ctx, s)
	case answer.Text == string(ask.NotMeasured):
		return record.Reading{}, v.leaveOut(ctx, s)
	}
	fact, err := readingOf(s, quantity, in, answer)
	if err != nil || s.Step().OfCurrent() {
		return fact, err
	}
	if err := v.measuredWith(ctx, s); err != nil || s.Concluded() {
		return record.Reading{}, err
	}
	err = v.look(func(r *record.Record) {
		if m := r.Voltmeter(); m != nil {
			fact.Uncertainty, fact.Instrument = m.Uncertainty, m.Name
		}
	})
	return fact, err
}

// measuredWith asks what a voltage was read with, where no voltmeter was named, or none was
// said to be at hand: a record must not say both. Where there is still none, nothing was measured.
func (v *Visit) measuredWith(ctx context.Context, s *record.Outcome) error {
	meter := seen(v, func(r *record.Record) *record.Outcome { return r.Find(programme.IDVoltmeter) })
	leftOut := meter != nil && meter.Result() == record.LeftOut
	if meter == nil || !leftOut && meter.Instrument() != nil {
		return nil
	}
	if leftOut {
		if err := v.add(record.Reopened{Step: meter.Step().ID}); err != nil {
			return err
		}
	}
	if err := v.instrument(ctx, meter); err != nil || meter.Result() != record.LeftOut {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut, Remark: meter.Remark()})
}

// readingOf is an answer as a reading.
func readingOf(
	s *record.Outcome,
	quantity record.Quantity,
	in checks.Dimension,
	answer ask.Answer,
) (record.Reading, error) {
	q, err := in.Parse(answer.Text) // an answer that was let pass, if it fails
	return record.Reading{
		Step:      s.Step().ID,
		Quantity:  quantity,
		Value:     q.SI,
		Unit:      in.SI,
		AsTyped:   q.Text,
		Confirmed: answer.Confirmed,
	}, err
}

// leaveUnmeasured concludes a step that may be left out.
func (v *Visit) leaveUnmeasured(s *record.Outcome) error {
	v.operator.Tell(ask.LeftUnmeasured{Step: v.name(s)})
	return v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut})
}

func (v *Visit) voltageQuestion(s *record.Outcome) ask.Question {
	plausible := seen(v, func(r *record.Record) ask.Plausible { return ask.PlausibleAt(r.Site()) })
	q := ask.Question{ID: s.Step().ID + "/voltage", What: ask.SupplyVoltage{Step: v.name(s)}, Help: ask.TerminalsAdvice,
		Takes:     ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured, Unit: checks.Voltage.SI},
		Plausible: &plausible, Optional: s.Step().Optional}
	if s.Step().Point != "" {
		q.What, q.Help = ask.DetectorVoltage{Step: v.name(s)}, ask.FarAdvice
	}
	return q
}

func (v *Visit) currentQuestion(s *record.Outcome) ask.Question {
	return ask.Question{ID: s.Step().ID + "/current", What: ask.SystemCurrent{Step: v.name(s)}, Help: ask.NotAtOnceAdvice,
		Takes:     ask.Quantity{In: checks.Current, Instead: ask.NotMeasured},
		Plausible: &ask.PlausibleDrawn, Optional: s.Step().Optional}
}

// act asks for something to be done to the supply.
func (v *Visit) act(ctx context.Context, s *record.Outcome) error {
	if wanted, err := v.beforeAct(ctx, s); err != nil || !wanted {
		return err
	}
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: caution(s.Step().ID)},
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

// chargedFor is how long the battery of a site should have been on charge before it is
// tried: the time within which it must be recharged, or a day where nobody declares one
// (*common practice, no source*). Who says yes too early has an honest charger judged as dead.
func chargedFor(s *site.Site) time.Duration {
	if within := s.Supply.Recharge.Within; within.Given() {
		return within.Duration()
	}
	return 24 * time.Hour
}

// charged asks whether the battery can be expected to be full: what is measured after
// mains is removed shows it only then.
func (v *Visit) charged(ctx context.Context, s *record.Outcome) error {
	long := seen(v, func(r *record.Record) time.Duration { return chargedFor(r.Site()) })
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: ask.OnCharge{For: long}},
		ask.Option{Word: string(record.Yes), Label: ask.ChargedYesChoice},
		ask.Option{Word: string(record.No), Label: ask.ChargedNoChoice},
		ask.Option{Word: "not known", Label: ask.NotKnownChoice})
	if err != nil {
		return err
	}
	result := record.Result(answer.Text)
	if result != record.Yes && result != record.No {
		result = record.LeftOut
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: result})
}
