package visit

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// tried is a trial that has ended, and what it showed.
type tried struct {
	record.Judgement
	trial *record.Trial
	at    time.Time // of its cue
}

// trial gives one cue and waits for what comes of it. ready is how the technician said
// that they stand ready for it.
func (v *Visit) trial(ctx context.Context, s *record.Outcome, half record.Half, ready ask.Pressed) (tried, error) {
	trial, cueAt, err := v.cue(s, half, ready)
	if err != nil {
		return tried{}, err
	}
	return v.follow(ctx, s, trial, cueAt, v.awaitTrial)
}

// follow waits for what comes of a cue, and ends its trial.
func (v *Visit) follow(ctx context.Context, s *record.Outcome, trial *record.Trial, cueAt time.Time,
	await func(context.Context, *record.Outcome, *record.Trial, time.Time) (record.End, error)) (tried, error) {
	end, err := await(ctx, s, trial, cueAt)
	if err != nil {
		_, ending := v.endTrial(s, trial, record.ByPause, v.clock.Now())
		return tried{}, errors.Join(err, ending)
	}
	if end, err = v.endTrial(s, trial, end, v.clock.Now()); err != nil {
		return tried{}, err
	}
	is := tried{trial: trial, at: cueAt}
	switch end {
	case record.ByAgain:
		return is, errAgain
	case record.BySkip:
		if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
			is.Judgement = record.Judgement{Verdict: record.Void}
			return is, err
		}
		return is, errAgain
	case record.ByLeaving:
		return is, errLeave
	case record.ByLost, record.ByOverrun, record.ByAbsence:
		v.tellVoid(end)
		return is, errAgain
	}
	err = v.look(func(*record.Record) { is.Judgement = trial.Judge() })
	return is, err
}

// backlog is how long what waited in the network while the program did not run is let come
// before the next cue: it is no answer to that.
const backlog = 500 * time.Millisecond

// tellVoid tells why a trial is taken again that the technician did not end.
func (v *Visit) tellVoid(end record.End) {
	switch end {
	case record.ByLost:
		v.operator.Tell(ask.TrialLost{})
	case record.ByOverrun:
		v.operator.Tell(ask.TrialAgain{})
	case record.ByAbsence:
		clock.Sleep(v.clock, backlog)
		v.operator.Tell(seen(v, func(r *record.Record) ask.TrialAbsent {
			all := r.Absences()
			return ask.TrialAbsent{Lasted: all[len(all)-1].Lasted, Asleep: all[len(all)-1].Asleep}
		}))
	}
}

// cue gives a cue, or takes the one that the technician was given out of our reach. It
// returns the trial that it begins and when it was given. A cue that the record can no
// longer take is told, and is errAgain.
func (v *Visit) cue(s *record.Outcome, half record.Half, ready ask.Pressed) (*record.Trial, time.Time, error) {
	trial, at, refused, err := v.cueLocked(s, half, ready)
	if refused != nil {
		v.operator.Tell(ask.CueTooOld{Why: refused})
		return nil, at, errAgain
	}
	return trial, at, err
}

// cueLocked writes a cue. The trial is returned from under the same lock: the next
// moment the connection may be lost, which ends it.
func (v *Visit) cueLocked(
	s *record.Outcome,
	half record.Half,
	ready ask.Pressed,
) (t *record.Trial, given time.Time, refused, err error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	now := v.clock.Now()
	v.lookAround(now)
	c, given := v.pressedCue(s, half, ready, now)
	late := v.lateAfter(s, &c, given)
	if c.BeforeNS > 0 {
		if err := v.write(v.intake.until(now)); err != nil {
			return nil, given, nil, err
		}
		if refused := v.record.CueFits(v.journal.Elapsed(given), s.Step().Zone, c.Own); refused != nil {
			return nil, given, refused, nil
		}
	}
	if err := v.addLocked(now, c); err != nil {
		return nil, given, nil, err
	}
	v.awake.timesSince(record.MostLate(s.Step(), v.record.HeardAt(s.Step())), late)
	if now := v.clock.Now(); c.BeforeNS == 0 && c.Tap == nil && now.Sub(given) >= record.ShownLate && v.intake.put(
		arrival{at: now, fact: record.Shown{Step: s.Step().ID}}) {
		given = now
	}
	return lastTrial(s, half), given, nil, nil
}

// lastTrial is that of the half of the last attempt.
func lastTrial(s *record.Outcome, half record.Half) *record.Trial {
	last := s.Attempts()[len(s.Attempts())-1]
	if half == record.Restore {
		return last.Restore
	}
	return last.Operate
}

// endTrial writes the end of a wait and tells what has ended it: the loss of the
// connection or of signals may have been first, and leaves only what the technician
// wants to do instead. What arrived before the end is taken before it.
func (v *Visit) endTrial(s *record.Outcome, trial *record.Trial, by record.End, at time.Time) (record.End, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	until := at
	if now := v.clock.Now(); v.lookAround(now) {
		until = now // who did not run may have taken the end of the wait for silence
	}
	err := v.write(v.intake.until(until))
	late := v.awake.timed()
	if t, _ := v.record.Trial(); t == trial && err == nil {
		err = v.addLocked(at, record.Ended{Step: s.Step().ID, By: by, LateNS: late.Nanoseconds()})
	}
	if err == nil && !by.Void() {
		by = trial.EndedBy()
	}
	return by, err
}

// endOfKey is what a key of a trial's watch ends it by.
var endOfKey = map[ask.Key]record.End{
	ask.Again: record.ByAgain, ask.Silent: record.BySilent, ask.Skip: record.BySkip,
	ask.Leave: record.ByLeaving, ask.Heard: record.ByHeard,
}

func (v *Visit) awaitTrial(
	ctx context.Context,
	s *record.Outcome,
	trial *record.Trial,
	cueAt time.Time,
) (record.End, error) {
	if seen(v, func(*record.Record) bool { return trial.Own() && !v.clock.Now().Before(cueAt.Add(trial.Deadline())) }) {
		return record.ByTime, nil // it was over before it was heard of
	}
	spec := v.trialWatch(s, trial)
	told, strangers := 0, seen(v, (*record.Record).Strangers)
	elsewhere := seen(v, (*record.Record).Elsewhere)
	until := func(w ask.Watching, r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
		if t, _ := r.Trial(); t != trial {
			return time.Time{}, nil, true // the connection or signals were lost
		}
		for heard := trial.Heard(); told < len(heard); told++ {
			if h := heard[told]; h.Address != trial.Zone().Address {
				w.Say(meanwhile(r, h))
			}
		}
		reported := r.Strangers()
		for _, address := range slices.Sorted(maps.Keys(reported)) {
			if reported[address] > strangers[address] {
				w.Say(ask.StrangerMeanwhile{Address: address})
				strangers[address] = mostOfStranger // once in a trial
			}
		}
		if zone := trial.Zone(); r.Elsewhere()[zone.Address] > elsewhere[zone.Address] {
			w.Say(ask.ElsewhereMeanwhile{Zone: zone.Number})
			elsewhere = r.Elsewhere()
		}
		return cueAt.Add(trial.Deadline()), trialStatus(trial, now.Sub(cueAt)), false
	}
	for {
		key, err := v.trialKey(ctx, spec, trial, cueAt, until)
		switch {
		case err != nil:
			return "", err
		case key == "":
			return record.ByTime, nil
		case key == ask.Note:
			if err := v.note(ctx, s); err != nil {
				return "", err
			}
		default:
			return endOfKey[key], nil
		}
		spec.Urgent = false
	}
}

func meanwhile(r *record.Record, h record.Heard) ask.Notice {
	n := ask.Meanwhile{Address: h.Address, State: h.State}
	if z := r.Site().ZoneAt(h.Address); z != nil {
		name := programme.NameOfZone(z)
		n.Zone = &name
	}
	return n
}

// trialKey waits until a key ends the trial's watch, or the trial ends by itself.
// Keys that are signals, and "nothing came" in the moment that something did, do
// not end it.
func (v *Visit) trialKey(
	ctx context.Context,
	spec ask.Watch,
	trial *record.Trial,
	cueAt time.Time,
	u saying,
) (ask.Key, error) {
	w, err := v.operator.Watch(ctx, spec)
	if err != nil {
		return "", err
	}
	defer w.Close()
	timed, byHand := v.source.(signal.KeyTimed)
	indicates := map[ask.Key]signal.State{ask.Indicated: signal.Active, ask.AtRest: signal.Restored}
	for {
		pressed, err := v.await(ctx, w, w.Pressed(), u.in(w))
		state, isSignal := indicates[pressed.Key]
		at := v.answeredAt(pressed, trial, cueAt)
		switch {
		case byHand && isSignal && at.Sub(cueAt) < record.Soonest:
			w.Say(ask.TooSoon{})
		case byHand && isSignal:
			timed.Press(at, trial.Zone().Address, state)
		case pressed.Key == ask.Silent && v.reported(trial):
			w.Say(ask.SameMoment{})
		default:
			return pressed.Key, err
		}
	}
}

func (v *Visit) reported(t *record.Trial) bool {
	return seen(v, func(*record.Record) bool { return t.Reported() })
}

// trialStatus is how a trial stands; nothing where nobody waits for a time.
func trialStatus(t *record.Trial, since time.Duration) ask.Phrase {
	if t.Own() && t.Half() == record.Restore {
		return nil
	}
	status := ask.TrialStatus{Since: since, ListenFor: t.Rules().ListenFor, Limit: t.Rules().Limit}
	for _, h := range t.Heard() {
		if h.Address == t.Zone().Address {
			status.State, status.After, status.Raw = h.State, h.Since, h.Raw
		}
	}
	return status
}

func (v *Visit) trialWatch(s *record.Outcome, t *record.Trial) ask.Watch {
	_, byHand := v.source.(signal.KeyTimed)
	spec := ask.Watch{ID: s.Step().ID + "/" + string(t.Half()), Cue: t.Half(), Urgent: true}
	var do ask.Phrase = programme.Operating{Kind: t.Kind()}
	indicates := ask.Indicated
	if t.Half() == record.Restore {
		do, indicates = programme.Restoring{Kind: t.Kind()}, ask.AtRest
	}
	spec.Title = ask.Now{Do: do, Step: v.name(s)}
	if byHand {
		spec.Keys = append(spec.Keys, indicates)
	}
	spec.Keys = append(spec.Keys, ask.Again, ask.Silent, ask.Skip, ask.Note, ask.Leave)
	return spec
}
