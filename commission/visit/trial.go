package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission"
	"loopwitness/commission/ask"
	"loopwitness/commission/site"
)

// trial gives one cue and waits for what comes of it.
func (v *Visit) trial(ctx context.Context, s *commission.StepRecord, half commission.Half) (commission.Judgement, error) {
	trial, cueAt, err := v.cue(s, half)
	if err != nil {
		return commission.Judgement{}, err
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Act(s.Point, half)
	}
	end, err := v.awaitTrial(ctx, s, trial, cueAt)
	if err != nil {
		return commission.Judgement{}, errors.Join(err, v.endTrial(s, commission.ByPause))
	}
	if err := v.endTrial(s, end); err != nil {
		return commission.Judgement{}, err
	}
	switch end {
	case commission.ByAgain:
		return commission.Judgement{}, errAgain
	case commission.BySkip:
		if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
			return commission.Judgement{Verdict: commission.Void}, err
		}
		return commission.Judgement{}, errAgain
	case commission.ByLeaving:
		return commission.Judgement{}, errLeave
	case commission.ByLost:
		v.operator.Tell("   The connection to the controller was lost: this trial does not count. It is taken again.")
		return commission.Judgement{}, errAgain
	}
	var j commission.Judgement
	err = v.look(func(*commission.Record) { j = trial.Judge() })
	return j, err
}

// cue gives a cue. The trial that it begins is returned from under the same
// lock: the next moment the connection may be lost, which ends it.
func (v *Visit) cue(s *commission.StepRecord, half commission.Half) (*commission.Trial, time.Time, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	at := v.clock.Now()
	if err := v.addLocked(at, commission.Cue{Step: s.ID, Half: half}); err != nil {
		return nil, at, err
	}
	trial, _ := v.record.Trial()
	return trial, at, nil
}

// endTrial writes the end, unless the loss of the connection has ended it.
func (v *Visit) endTrial(s *commission.StepRecord, by commission.End) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	if t, _ := v.record.Trial(); t == nil {
		return v.failed
	}
	return v.addLocked(v.clock.Now(), commission.Ended{Step: s.ID, By: by})
}

// endOfKey is what a key of a trial's watch ends it by.
var endOfKey = map[string]commission.End{
	keyAgain.Word: commission.ByAgain, keySilent.Word: commission.BySilent, keySkip.Word: commission.BySkip,
	keyLeave.Word: commission.ByLeaving, keyHeard.Word: commission.ByHeard,
}

// soonest is how soon after a cue a person can press a key for what they saw:
// nobody reacts faster (simple reactions average 0.16 s and more; Kosinski, Woods
// et al. 2015).
const soonest = 100 * time.Millisecond

func (v *Visit) awaitTrial(ctx context.Context, s *commission.StepRecord, trial *commission.Trial, cueAt time.Time) (commission.End, error) {
	_, byHand := v.source.(KeyTimed)
	spec := v.trialWatch(s, trial, byHand)
	told := 0
	until := func(w ask.Watching, r *commission.Record, now time.Time) (time.Time, string, bool) {
		if t, _ := r.Trial(); t != trial {
			return time.Time{}, "", true // the connection was lost
		}
		for ; told < len(trial.Heard); told++ {
			if h := trial.Heard[told]; h.Address != trial.Zone.Address {
				w.Say(fmt.Sprintf("   meanwhile zone %s: %s", zoneName(r.Site, h.Address), h.State))
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
			return v.endByItself(trial)
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
func (v *Visit) trialKey(ctx context.Context, spec ask.Watch, trial *commission.Trial, cueAt time.Time, u func(ask.Watching, *commission.Record, time.Time) (time.Time, string, bool)) (string, error) {
	w, err := v.operator.Watch(ctx, spec)
	if err != nil {
		return "", err
	}
	defer w.Close()
	timed, byHand := v.source.(KeyTimed)
	for {
		key, err := v.await(ctx, w, w.Keys(), func(r *commission.Record, now time.Time) (time.Time, string, bool) { return u(w, r, now) })
		switch {
		case byHand && (key == keyActive.Word || key == keyRest.Word) && v.clock.Now().Sub(cueAt) < soonest:
			w.Say("   Too soon after the cue to have been seen: press again once the controller indicates it.")
		case key == keyActive.Word && byHand:
			timed.Press(trial.Zone.Address, commission.Active)
		case key == keyRest.Word && byHand:
			timed.Press(trial.Zone.Address, commission.Restored)
		case key == keySilent.Word && v.reported(trial):
			w.Say("   It was reported in the same moment; watching that it stays.")
		default:
			return key, err
		}
	}
}

// endByItself tells a wait that ran its time from one that lost its controller.
func (v *Visit) endByItself(trial *commission.Trial) (commission.End, error) {
	lost := false
	err := v.look(func(r *commission.Record) { t, _ := r.Trial(); lost = t != trial })
	if lost {
		return commission.ByLost, err
	}
	return commission.ByTime, err
}

func (v *Visit) reported(t *commission.Trial) bool {
	is := false
	_ = v.look(func(*commission.Record) { is = t.Reported() }) // a failure is met at the next wait
	return is
}

func zoneName(s *site.Site, address string) string {
	if z := s.ZoneAt(address); z != nil {
		return fmt.Sprintf("%d, %s", z.Number, z.Name)
	}
	return address
}

func trialStatus(t *commission.Trial, since time.Duration) string {
	answered := ""
	for _, h := range t.Heard {
		if h.Address == t.Zone.Address {
			answered = fmt.Sprintf("  %s after %.2f s, watching that it stays", h.State, h.Since.Seconds())
			if h.State == commission.NotUnderstood {
				answered = fmt.Sprintf("  it reports %s, which controller.yaml does not know", h.Raw)
			}
		}
	}
	return fmt.Sprintf("%5.1f s  of %.0f s, limit %.0f s%s", since.Seconds(), t.Rules.ListenFor.Seconds(), t.Rules.Limit.Seconds(), answered)
}

func (v *Visit) trialWatch(s *commission.StepRecord, t *commission.Trial, byHand bool) ask.Watch {
	trait := t.Zone.Kind.Trait()
	spec := ask.Watch{ID: s.ID + "/" + string(t.Half), Alert: true, Title: "NOW " + trait.Operate}
	if t.Half == commission.Restore {
		spec.Title = "NOW " + trait.Restore
	}
	spec.Title += ": " + v.title(s)
	switch {
	case byHand && t.Half == commission.Operate:
		spec.Keys = append(spec.Keys, keyActive)
	case byHand:
		spec.Keys = append(spec.Keys, keyRest)
	}
	spec.Keys = append(spec.Keys, keyAgain, keySilent, keySkip, keyNote, keyLeave)
	return spec
}
