package visit

import (
	"context"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// leftWithStage leaves a step out whose whole stage was, with the reason that was given then.
func (v *Visit) leftWithStage(s *record.Outcome) (left bool, err error) {
	var reason string
	err = v.look(func(r *record.Record) { reason, left = r.LeftWith(s.Step()) })
	if err != nil || !left {
		return false, err
	}
	return true, v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut, Remark: reason})
}

func (v *Visit) outcomeOf(id string) *record.Outcome {
	return seen(v, func(r *record.Record) *record.Outcome { return r.Find(id) })
}

// isolated asks for it that nothing but cable is connected, or leaves the whole stage out: what
// is measured then destroys electronics.
func (v *Visit) isolated(ctx context.Context, s *record.Outcome) error {
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: judge.CautionCables},
		ask.Option{Word: string(record.Done), Label: ask.IsolatedChoice},
		ask.Option{Word: string(record.LeftOut), Label: ask.StageLeftOutChoice})
	if err != nil {
		return err
	}
	if answer.Text == string(record.Done) {
		return v.add(record.Answer{Step: s.Step().ID, Result: record.Done})
	}
	reason, err := v.text(ctx, s, "/reason", ask.StageReasonMatter, ask.PrintedAdvice)
	if err != nil {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut, Remark: reason})
}

// tester asks what cables are measured with. Without one nothing is.
func (v *Visit) tester(ctx context.Context, s *record.Outcome) error {
	fact := record.Tester{Step: s.Step().ID}
	of := func(id string, what ask.Matter, help ask.Phrase, in checks.Dimension, to *float64) func() error {
		return func() error {
			if s.Concluded() {
				return nil
			}
			text, err := v.optional(ctx, s, id, what, help, ask.Quantity{In: in, NotNegative: true,
				Unit: map[string]string{checks.Voltage.SI: checks.Voltage.SI}[in.SI]})
			if err != nil || text == "" {
				*to = 0
				return err
			}
			q, err := in.Parse(text) // an answer that was let pass, if it fails
			*to = q.SI
			return err
		}
	}
	err := v.inTurn(s, func() (err error) {
		fact.Name, err = v.keep(ctx, s, ask.Question{ID: s.Step().ID, What: ask.Identify{Step: v.name(s)},
			Takes: ask.Line{Instead: ask.NotMeasured}})
		return err
	}, func() (err error) {
		if fact.Name == string(ask.NotMeasured) {
			return v.leaveOut(ctx, s)
		}
		fact.Calibrated, err = v.optional(ctx, s, "/calibrated", ask.CalibrationMatter, nil,
			ask.Date{To: seen(v, (*record.Record).FarthestDay)})
		return err
	}, of("/volt", ask.TestVoltMatter, ask.TestVoltAdvice, checks.Voltage, &fact.Volt),
		of("/uncertainty", ask.TesterShareMatter, ask.DataSheetAdvice, checks.Ratio, &fact.Share))
	if err != nil || s.Concluded() {
		return err
	}
	return v.add(fact)
}

// cable asks what can be seen of a cable, and what was measured of it: two lines. What has to
// be known first is asked first.
func (v *Visit) cable(ctx context.Context, s *record.Outcome) error {
	if isolated := v.outcomeOf(programme.IDIsolated); isolated != nil && !isolated.Concluded() {
		return v.isolated(ctx, isolated)
	}
	if tester := v.outcomeOf(programme.IDTester); tester != nil && !tester.Concluded() {
		return v.tester(ctx, tester)
	}
	fact := record.CableTested{Step: s.Step().ID}
	err := v.inTurn(s, func() (err error) {
		fact.Seen, err = v.keep(ctx, s, ask.Question{ID: s.Step().ID, What: ask.CableOf{Step: v.name(s)},
			Help: ask.CableSeenAdvice, Takes: ask.CableSeen{}})
		return err
	}, func() error {
		if fact.Seen == string(ask.NotMeasured) {
			return v.leaveOut(ctx, s)
		}
		return v.cableValues(ctx, s, &fact)
	})
	if err != nil || s.Concluded() {
		return err
	}
	if err := v.add(fact); err != nil {
		return err
	}
	var rows []judge.Computed
	err = v.look(func(r *record.Record) {
		if z := r.Site().Zone(s.Step().Zone); z != nil {
			rows = judge.CableRows(r.Site(), z, fact, r.Tester())
		}
	})
	for _, row := range rows {
		v.operator.Tell(ask.CableShows{Row: row})
	}
	return err
}

// cableValues tells what a cable probably is, and asks what was measured, where there is
// something to measure with.
func (v *Visit) cableValues(ctx context.Context, s *record.Outcome, fact *record.CableTested) (err error) {
	if fact.Is, err = checks.ParseCableSeen(fact.Seen); err != nil {
		return err // an answer that was let pass
	}
	v.operator.Tell(ask.CablePerhaps{Zone: *v.name(s).Zone, Guesses: judge.GuessCable(*fact)})
	if tested := seen(v, func(r *record.Record) bool { return r.Tester() != nil }); !tested {
		return nil
	}
	text, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID + "/measured", What: ask.CableValuesOf{Step: v.name(s)},
		Help: ask.CableValuesAdvice, Takes: ask.CableValues{}})
	if err != nil || text == string(ask.NotMeasured) {
		return err
	}
	fact.Measured = text
	fact.Values, err = checks.ParseCableMeasured(text) // an answer that was let pass, if it fails
	return err
}
