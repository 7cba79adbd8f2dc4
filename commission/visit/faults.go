package visit

import (
	"context"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// supplyActs are what is done to the supply: what each makes or ends the cause of, and the act
// at its other end.
var supplyActs = map[string]struct {
	aspect signal.Aspect
	ends   bool
	other  string
}{
	programme.IDMainsOff:   {signal.MainsFault, false, programme.IDMainsOn},
	programme.IDMainsOn:    {signal.MainsFault, true, programme.IDMainsOff},
	programme.IDBatteryOff: {signal.BatteryFault, false, programme.IDBatteryOn},
	programme.IDBatteryOn:  {signal.BatteryFault, true, programme.IDBatteryOff},
}

// caution is the one before an act.
func caution(step string) ask.Phrase {
	if supplyActs[step].aspect == signal.BatteryFault {
		return judge.CautionBattery
	}
	return judge.CautionMains
}

// beforeAct does what has to be done before an act: mains and battery are never off together,
// a battery that was not disconnected needs not be connected, and what the controller tells
// of a fault is waited for while its cause lasts. It tells whether the act is to be asked for.
func (v *Visit) beforeAct(ctx context.Context, s *record.Outcome) (bool, error) {
	id := s.Step().ID
	first := seen(v, func(r *record.Record) string {
		switch {
		case id == programme.IDMainsOff && !r.BatteryOff().IsZero():
			return programme.IDBatteryOn
		case id == programme.IDBatteryOff && !r.MainsOff().IsZero():
			return programme.IDMainsOn
		}
		return ""
	})
	if o := v.outcome(first); o != nil {
		v.operator.Tell(ask.NotBoth{First: v.name(o)})
		if o.Concluded() { // it could not be put back
			return false, v.leaveWith(s, first)
		}
		return false, v.add(record.Entered{Stage: o.Step().Stage, Step: first})
	}
	if id == programme.IDBatteryOn && v.notDisconnected() {
		return false, v.leaveWith(s, programme.IDBatteryOff)
	}
	if act := supplyActs[id]; act.ends {
		return true, v.awaitFault(ctx, s, act.aspect, true)
	}
	return true, nil
}

// outcome is the step of a name, nil for none.
func (v *Visit) outcome(id string) *record.Outcome {
	return seen(v, func(r *record.Record) *record.Outcome { return r.Find(id) })
}

// notDisconnected tells that the battery was to be disconnected, and was not.
func (v *Visit) notDisconnected() bool {
	off := v.outcome(programme.IDBatteryOff)
	return off != nil && off.Result() == record.LeftOut &&
		seen(v, func(r *record.Record) bool { return r.BatteryOff().IsZero() })
}

// leaveWith leaves a step out for the reason for which another was left out.
func (v *Visit) leaveWith(s *record.Outcome, other string) error {
	return v.add(record.Answer{Step: s.Step().ID, Result: record.LeftOut, Remark: v.outcome(other).Remark()})
}

// faultPatience is how long a report of the controller is waited for where no limit is
// declared (*common practice, no source*): most need less, and nobody has to stay.
const faultPatience = 10 * time.Minute

// awaitFault waits until the controller reports a fault, or its end, where it tells it. A
// key ends the wait, and so does its limit, where somebody declared one.
func (v *Visit) awaitFault(ctx context.Context, s *record.Outcome, a signal.Aspect, present bool) error {
	most := faultPatience
	if limit := seen(v, func(r *record.Record) time.Duration {
		return judge.FaultLimit(r.Site(),
			a).Duration()
	}); limit > 0 && present {
		most = limit + record.FaultActWithin
	}
	over := func(r *record.Record, now time.Time) (since time.Duration, over bool) {
		f, made := r.FaultSignal(a)
		lasted, ended := r.FaultLasts(a, v.journal.Elapsed(now))
		if since = lasted; !present {
			since = ended
		}
		came := f.Reported != nil && (present || f.Cleared != nil)
		return since, !made || !f.Told || f.Before || came || present && !f.Ended.IsZero() || since >= most
	}
	if seen(v, func(r *record.Record) bool { _, is := over(r, v.clock.Now()); return is }) {
		return nil
	}
	pressed, err := v.watch(ctx, ask.Watch{ID: "await/" + string(a), Title: ask.FaultAwaited{Aspect: a, Present: present},
		Keys: v.withRedo(ask.Silent, ask.Note, ask.Leave)},
		func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
			since, over := over(r, now)
			return now.Add(most - since), ask.FaultStatus{Since: since.Round(time.Second), Most: most}, over
		})
	switch {
	case err != nil:
		return err
	case pressed.Key == ask.Leave:
		return errLeave
	case pressed.Key == ask.Redo:
		return errRedo
	case pressed.Key == ask.Note:
		if err := v.note(ctx, s); err != nil {
			return err
		}
		return v.awaitFault(ctx, s, a, present)
	}
	came := seen(v, func(r *record.Record) bool {
		f, _ := r.FaultSignal(a)
		return f.Reported != nil && (present || f.Cleared != nil)
	})
	if !came {
		v.operator.Tell(ask.FaultNotTold{Aspect: a, Present: present})
	}
	return nil
}

// fault concludes what became of a fault of the supply: as the controller told it, or by one
// question where it tells nothing of it.
func (v *Visit) fault(ctx context.Context, s *record.Outcome) error {
	var f record.FaultSignal
	var made bool
	if err := v.look(func(r *record.Record) { f, made = r.FaultSignal(s.Step().Aspect()) }); err != nil {
		return err
	}
	if !made || f.Ended.IsZero() {
		return v.causeFirst(ctx, s)
	}
	if !f.Told {
		return v.askFault(ctx, s)
	}
	if f.Reported != nil {
		err := v.awaitFault(ctx, s, f.Aspect, false)
		if err != nil || s.Concluded() {
			return err
		}
	} else {
		v.operator.Tell(ask.FaultNotTold{Aspect: f.Aspect, Present: true})
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.AsTold})
}

// causeFirst goes to where the cause of a fault is made and ended. Where that was left out,
// so is this.
func (v *Visit) causeFirst(ctx context.Context, s *record.Outcome) error {
	acts := []string{programme.IDMainsOff, programme.IDMainsOn}
	if s.Step().Aspect() == signal.BatteryFault {
		acts = []string{programme.IDBatteryOff, programme.IDBatteryOn}
	}
	for _, id := range acts {
		switch act := v.outcome(id); {
		case act != nil && !act.Concluded():
			return v.add(record.Entered{Stage: act.Step().Stage})
		case act != nil && act.Result() == record.LeftOut:
			return v.leaveWith(s, id)
		}
	}
	return v.leaveOut(ctx, s) // nothing of the visit makes the cause
}

// askFault asks what was seen of a fault.
func (v *Visit) askFault(ctx context.Context, s *record.Outcome) error {
	options := []ask.Option{{Word: string(record.AtController), Label: ask.AtControllerChoice},
		{Word: string(record.AtCentre), Label: ask.AtCentreChoice},
		{Word: string(record.NotCleared), Label: ask.NotClearedChoice},
		{Word: string(record.NotSeen), Label: ask.NotSeenChoice}, notTestedOption}
	if seen(v, func(r *record.Record) bool { return r.Site().Monitoring.Centre == "" }) {
		options = slices.Delete(options, 1, 2) // nobody receives it
	}
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: ask.FaultAdvice}, options...)
	if err != nil {
		return err
	}
	if answer.Text == notTestedOption.Word {
		return v.leaveOut(ctx, s)
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Result(answer.Text)})
}

// faultsTold tells what the controller reported of its supply since that was told last,
// while other things go on.
func (v *Visit) faultsTold(r *record.Record, say func(ask.Notice)) {
	var told []ask.FaultTold
	var entries []int
	for _, a := range []signal.Aspect{signal.MainsFault, signal.BatteryFault} {
		f, _ := r.FaultSignal(a)
		for i, n := range []*record.Noticed{f.Reported, f.Cleared} {
			if n == nil || n.Entry <= v.told.faults {
				continue
			}
			entries = append(entries, n.Entry)
			told = append(told, ask.FaultTold{Aspect: a, Present: i == 0, After: n.After, Early: n.Early, Kept: n.Kept})
		}
	}
	for i, t := range told {
		say(t)
		v.told.faults = max(v.told.faults, entries[i])
	}
}

// batteryOff tells whether the battery is disconnected.
func (v *Visit) batteryOff() bool {
	return seen(v, func(r *record.Record) bool { return !r.BatteryOff().IsZero() })
}

// chargesByIndication asks whether the controller's or the charger's own indication says that
// the battery charges, where that is not measured.
func (v *Visit) chargesByIndication(ctx context.Context, s *record.Outcome) error {
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID + "/indicated", What: ask.ChargesMatter},
		ask.Option{Word: string(record.Yes), Label: ask.ChargesChoice},
		ask.Option{Word: string(record.No), Label: ask.ChargesNotChoice},
		ask.Option{Word: string(record.LeftOut), Label: ask.NoIndicationChoice})
	if err != nil {
		return err
	}
	if answer.Text == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Result(answer.Text)})
}
