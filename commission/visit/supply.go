package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// instrument asks what the supply is measured with.
func (v *Visit) instrument(ctx context.Context, s *record.Outcome) error {
	if bench, ok := v.source.(Bench); ok && bench != nil {
		v.operator.Tell("   Practice: a simulated voltmeter takes the place of yours.")
	}
	name, err := v.needed(ctx, s, "", words.English{}.Say(programme.NameOf(v.record.Site(), s.Step()))+": kind and identifier", "for example: multimeter, serial 0417")
	if err != nil {
		return err
	}
	calibrated, err := v.optional(ctx, s, "/calibrated", "Calibration valid until, or Enter if not known", "for example 2027-03-01", func(t string) error {
		if t == "" {
			return nil
		}
		if _, err := time.Parse(time.DateOnly, t); err != nil {
			return errors.New("write year-month-day, for example 2027-03-01")
		}
		return nil
	})
	if err != nil {
		return err
	}
	text, err := v.optional(ctx, s, "/uncertainty", "Uncertainty of its readings near 12 V (95 %), or Enter if not known", "for example 50 mV; from its data sheet or calibration", func(t string) error {
		if t == "" {
			return nil
		}
		q, err := checks.Voltage.Parse(t)
		if err == nil && q.SI < 0 {
			err = errors.New("an uncertainty is not negative")
		}
		return err
	})
	if err != nil {
		return err
	}
	fact := record.Instrument{Step: s.Step().ID, Name: name, Calibrated: calibrated}
	if text != "" {
		q, _ := checks.Voltage.Parse(text) // was checked
		fact.Uncertainty = q.SI
	}
	_, fact.Simulated = v.source.(Bench)
	return v.add(fact)
}

// reading waits until a voltage is due, energises the sounder where it is a
// reading under alarm load, and asks for it.
func (v *Visit) reading(ctx context.Context, s *record.Outcome) error {
	if err := v.due(ctx, s); err != nil || s.Concluded() {
		return err
	}
	if !s.Step().Load {
		fact, err := v.voltage(ctx, s)
		if err != nil || s.Concluded() {
			return err
		}
		return v.add(fact)
	}
	o := v.outputOf(s)
	if err := v.mayEnergise(ctx, s, o, words.English{}.Say(programme.NameOf(v.record.Site(), s.Step())), o.Name+" sounds while you read the voltmeter."); err != nil || s.Concluded() {
		return err
	}
	off, err := v.switchOn(ctx, o)
	if err != nil {
		return err
	}
	return errors.Join(v.loaded(ctx, s, o), off())
}

// loaded takes a voltage that counts only if the output was on all the while:
// the entry is written before it is switched off.
func (v *Visit) loaded(ctx context.Context, s *record.Outcome, o *site.Output) error {
	fact, err := v.voltage(ctx, s)
	if err != nil || s.Concluded() {
		return err
	}
	if !v.isOn(o.Name) {
		v.operator.Tell("   " + o.Name + " had been switched off before you answered: this reading does not count. It is taken again.")
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
	key, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/wait", Title: "Wait on standby: " + words.English{}.Say(programme.NameOf(v.record.Site(), s.Step())), Keys: []ask.Key{keySkip, keyNote, keyLeave}},
		func(r *record.Record, now time.Time) (time.Time, string, bool) {
			left := r.ReadingDue(s.Step(), now)
			return now.Add(left), fmt.Sprintf("%s left", checks.FormatDuration(left.Round(time.Second))), left == 0
		})
	switch {
	case err != nil:
		return err
	case key == keySkip.Word:
		return v.leaveOut(ctx, s)
	case key == keyLeave.Word:
		return errLeave
	case key == keyNote.Word:
		if err := v.note(ctx, s); err != nil {
			return err
		}
		return v.due(ctx, s)
	}
	return nil
}

// notMeasured is typed instead of a voltage.
const notMeasured = "none"

// voltage asks for one; the step is concluded if it cannot be measured.
func (v *Visit) voltage(ctx context.Context, s *record.Outcome) (record.Reading, error) {
	q := ask.Question{ID: s.Step().ID + "/voltage", Text: words.English{}.Say(programme.NameOf(v.record.Site(), s.Step())), Help: "at the controller's supply terminals, for example 13.62 V; type none if it cannot be measured", Shape: ask.Text,
		Check: func(t string) error {
			if t == notMeasured {
				return nil
			}
			_, err := checks.Voltage.Parse(t)
			return err
		}}
	if bench, ok := v.source.(Bench); ok {
		q.Shown = fmt.Sprintf("%.2f V", bench.Volts())
	}
	text, err := v.operator.Ask(ctx, q)
	if err != nil {
		return record.Reading{}, err
	}
	if text == notMeasured {
		return record.Reading{}, v.leaveOut(ctx, s)
	}
	volts, err := checks.Voltage.Parse(text)
	if err != nil {
		return record.Reading{}, err // an answer that Check let pass
	}
	fact := record.Reading{Step: s.Step().ID, Quantity: record.VoltageReading, Value: volts.SI, Unit: checks.Voltage.SI, AsTyped: volts.Text}
	err = v.look(func(r *record.Record) {
		if m := r.Voltmeter(); m != nil {
			fact.Uncertainty, fact.Instrument = m.Uncertainty, m.Name
		}
	})
	return fact, err
}

// act asks for something to be done to the supply.
func (v *Visit) act(ctx context.Context, s *record.Outcome) error {
	word, err := v.choose(ctx, s.Step().ID, words.English{}.Say(programme.NameOf(v.record.Site(), s.Step())), words.English{}.Say(judge.CautionMains),
		ask.Option{Word: string(record.Done), Label: "done just now"},
		ask.Option{Word: string(record.LeftOut), Label: "cannot be done here, with a reason"})
	if err != nil {
		return err
	}
	if word == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	if err := v.add(record.Answer{Step: s.Step().ID, Result: record.Done}); err != nil {
		return err
	}
	if bench, ok := v.source.(Bench); ok {
		var off bool
		if err := v.look(func(r *record.Record) { off = !r.MainsOff().IsZero() }); err != nil {
			return err
		}
		bench.Mains(!off)
	}
	return nil
}

// path asks whether reporting off the premises survives as well.
func (v *Visit) path(ctx context.Context, s *record.Outcome) error {
	word, err := v.choose(ctx, s.Step().ID, words.English{}.Say(programme.NameOf(v.record.Site(), s.Step())), "Only then is it proved that reports leave the premises when mains fails.",
		ask.Option{Word: string(record.Yes), Label: "yes, it has lost mains too and goes on working"},
		ask.Option{Word: string(record.No), Label: "no, it stayed on mains: a limitation"},
		ask.Option{Word: string(record.NotApplicable), Label: "nothing of the kind is in the way"},
		ask.Option{Word: string(record.LeftOut), Label: "not known, with a reason"})
	if err != nil {
		return err
	}
	if word == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Result(word)})
}

// restart takes all power away and times the first report after it came back.
func (v *Visit) restart(ctx context.Context, s *record.Outcome) error {
	word, err := v.choose(ctx, s.Step().ID, words.English{}.Say(programme.NameOf(v.record.Site(), s.Step())), "Adapter and battery are both disconnected. "+words.English{}.Say(judge.CautionMains),
		ask.Option{Word: "restart", Label: "all power is off now: go on"},
		ask.Option{Word: string(record.LeftOut), Label: "not tested, with a reason"})
	if err != nil {
		return err
	}
	if word == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	key, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/ready", Title: "Press space at the moment you give the power back", Unattended: keyReady.Word,
		Lines: []string{"then operate the nearest detector again and again until it is reported"}, Keys: []ask.Key{keyReady, keyLeave}}, forever)
	if err != nil {
		return err
	}
	if key == keyLeave.Word {
		return errLeave
	}
	return v.restartTrial(ctx, s)
}

func (v *Visit) restartTrial(ctx context.Context, s *record.Outcome) error {
	trial, cueAt, err := v.cue(s, record.Operate)
	if err != nil {
		return err
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Restart()
	}
	timed, byHand := v.source.(signal.KeyTimed)
	keys := []ask.Key{keySilent, keyLeave}
	if byHand {
		keys = append([]ask.Key{keyActive}, keys...)
	}
	var limit time.Duration
	var first *site.Zone
	if err := v.look(func(r *record.Record) { limit, first = r.Site().Limits.ColdRestart.Duration(), &r.Site().Zones[0] }); err != nil {
		return err
	}
	key, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/wait", Title: "Waiting for the controller's first report", Keys: keys},
		func(r *record.Record, now time.Time) (time.Time, string, bool) {
			t, _ := r.Trial()
			return cueAt.Add(2 * limit), fmt.Sprintf("%.0f s, limit %.0f s", now.Sub(cueAt).Seconds(), limit.Seconds()), t == nil || len(t.Heard()) > 0
		})
	if err != nil {
		_, ending := v.endTrial(s, trial, record.ByPause)
		return errors.Join(err, ending)
	}
	end := record.ByTime
	switch {
	case key == keyActive.Word && byHand:
		timed.Press(first.Address, signal.Active)
	case key != "":
		end = endOfKey[key]
	}
	if end, err = v.endTrial(s, trial, end); err != nil {
		return err
	}
	if end == record.ByOverrun {
		return nil // the step is taken again
	}
	if s.Concluded() {
		v.operator.Tell(fmt.Sprintf("   The controller reported after %.0f s.", v.clock.Now().Sub(cueAt).Seconds()))
		return nil
	}
	if end == record.ByLeaving {
		return errLeave
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.AsItIs})
}
