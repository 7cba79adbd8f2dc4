package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// trial gives one cue and waits for what comes of it.
func (v *Visit) trial(ctx context.Context, s *record.Outcome, half record.Half) (record.Judgement, error) {
	trial, cueAt, err := v.cue(s, half)
	if err != nil {
		return record.Judgement{}, err
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Act(s.Step().Point, half)
	}
	end, err := v.awaitTrial(ctx, s, trial, cueAt)
	if err != nil {
		_, ending := v.endTrial(s, trial, record.ByPause)
		return record.Judgement{}, errors.Join(err, ending)
	}
	if end, err = v.endTrial(s, trial, end); err != nil {
		return record.Judgement{}, err
	}
	switch end {
	case record.ByAgain:
		return record.Judgement{}, errAgain
	case record.BySkip:
		if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
			return record.Judgement{Verdict: record.Void}, err
		}
		return record.Judgement{}, errAgain
	case record.ByLeaving:
		return record.Judgement{}, errLeave
	case record.ByLost:
		v.operator.Tell("   The connection to the controller was lost: this trial does not count. It is taken again.")
		return record.Judgement{}, errAgain
	case record.ByOverrun:
		v.operator.Tell("   This trial is taken again.")
		return record.Judgement{}, errAgain
	}
	var j record.Judgement
	err = v.look(func(*record.Record) { j = trial.Judge() })
	return j, err
}

// cue gives a cue. The trial that it begins is returned from under the same
// lock: the next moment the connection may be lost, which ends it.
func (v *Visit) cue(s *record.Outcome, half record.Half) (*record.Trial, time.Time, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	at := v.clock.Now()
	if err := v.addLocked(at, record.Cue{Step: s.Step().ID, Half: half}); err != nil {
		return nil, at, err
	}
	trial, _ := v.record.Trial()
	return trial, at, nil
}

// endTrial writes the end of a wait and tells what has ended it: the loss of the
// connection or of signals may have been first, and leaves only what the technician
// wants to do instead. What arrived before the end is taken before it.
func (v *Visit) endTrial(s *record.Outcome, trial *record.Trial, by record.End) (record.End, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	at := v.clock.Now()
	err := v.write(v.intake.until(at))
	if t, _ := v.record.Trial(); t == trial && err == nil {
		err = v.addLocked(at, record.Ended{Step: s.Step().ID, By: by})
	}
	if err == nil && !by.Void() {
		by = trial.EndedBy()
	}
	return by, err
}

// endOfKey is what a key of a trial's watch ends it by.
var endOfKey = map[string]record.End{
	keyAgain.Word: record.ByAgain, keySilent.Word: record.BySilent, keySkip.Word: record.BySkip,
	keyLeave.Word: record.ByLeaving, keyHeard.Word: record.ByHeard,
}

// soonest is how soon after a cue a person can press a key for what they saw:
// nobody reacts faster (simple reactions average 0.16 s and more; Kosinski, Woods
// et al. 2015).
const soonest = 100 * time.Millisecond

func (v *Visit) awaitTrial(ctx context.Context, s *record.Outcome, trial *record.Trial, cueAt time.Time) (record.End, error) {
	_, byHand := v.source.(signal.KeyTimed)
	spec := v.trialWatch(s, trial, byHand)
	told := 0
	until := func(w ask.Watching, r *record.Record, now time.Time) (time.Time, string, bool) {
		if t, _ := r.Trial(); t != trial {
			return time.Time{}, "", true // the connection or signals were lost
		}
		for heard := trial.Heard(); told < len(heard); told++ {
			if h := heard[told]; h.Address != trial.Zone().Address {
				w.Say(fmt.Sprintf("   meanwhile zone %s: %s", zoneName(r.Site(), h.Address), h.State))
			}
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
		case key == keyNote.Word:
			if err := v.note(ctx, s); err != nil {
				return "", err
			}
		default:
			return endOfKey[key], nil
		}
		spec.Alert = false
	}
}

// trialKey waits until a key ends the trial's watch, or the trial ends by itself.
// Keys that are signals, and "nothing came" in the moment that something did, do
// not end it.
func (v *Visit) trialKey(ctx context.Context, spec ask.Watch, trial *record.Trial, cueAt time.Time, u func(ask.Watching, *record.Record, time.Time) (time.Time, string, bool)) (string, error) {
	w, err := v.operator.Watch(ctx, spec)
	if err != nil {
		return "", err
	}
	defer w.Close()
	timed, byHand := v.source.(signal.KeyTimed)
	for {
		key, err := v.await(ctx, w, w.Keys(), func(r *record.Record, now time.Time) (time.Time, string, bool) { return u(w, r, now) })
		switch {
		case byHand && (key == keyActive.Word || key == keyRest.Word) && v.clock.Now().Sub(cueAt) < soonest:
			w.Say("   Too soon after the cue to have been seen: press again once the controller indicates it.")
		case key == keyActive.Word && byHand:
			timed.Press(trial.Zone().Address, signal.Active)
		case key == keyRest.Word && byHand:
			timed.Press(trial.Zone().Address, signal.Restored)
		case key == keySilent.Word && v.reported(trial):
			w.Say("   It was reported in the same moment; watching that it stays.")
		default:
			return key, err
		}
	}
}

func (v *Visit) reported(t *record.Trial) bool {
	is := false
	_ = v.look(func(*record.Record) { is = t.Reported() }) // a failure is met at the next wait
	return is
}

func zoneName(s *site.Site, address string) string {
	if z := s.ZoneAt(address); z != nil {
		return fmt.Sprintf("%d, %s", z.Number, z.Name)
	}
	return address
}

func trialStatus(t *record.Trial, since time.Duration) string {
	answered := ""
	for _, h := range t.Heard() {
		if h.Address == t.Zone().Address {
			answered = fmt.Sprintf("  %s after %.2f s, watching that it stays", h.State, h.Since.Seconds())
			if h.State == signal.NotUnderstood {
				answered = fmt.Sprintf("  it reports %s, which controller.yaml does not know", h.Raw)
			}
		}
	}
	return fmt.Sprintf("%5.1f s  of %.0f s, limit %.0f s%s", since.Seconds(), t.Rules().ListenFor.Seconds(), t.Rules().Limit.Seconds(), answered)
}

func (v *Visit) trialWatch(s *record.Outcome, t *record.Trial, byHand bool) ask.Watch {
	spec := ask.Watch{ID: s.Step().ID + "/" + string(t.Half()), Alert: true, Title: "NOW " + words.English{}.Say(programme.Operating{Kind: t.Zone().Kind})}
	if t.Half() == record.Restore {
		spec.Title = "NOW " + words.English{}.Say(programme.Restoring{Kind: t.Zone().Kind})
	}
	spec.Title += ": " + v.title(s)
	switch {
	case byHand && t.Half() == record.Operate:
		spec.Keys = append(spec.Keys, keyActive)
	case byHand:
		spec.Keys = append(spec.Keys, keyRest)
	}
	spec.Keys = append(spec.Keys, keyAgain, keySilent, keySkip, keyNote, keyLeave)
	return spec
}
