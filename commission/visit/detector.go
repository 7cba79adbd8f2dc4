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

var (
	// errAgain: the attempt is to be made once more.
	errAgain = errors.New("again")
	// errJump: another step is to be taken first.
	errJump = errors.New("jump")
)

// detector operates and restores one detector until it is proved, accepted as
// it is, or left out.
func (v *Visit) detector(ctx context.Context, s *commission.StepRecord) error {
	for {
		if err := v.ready(ctx, s); err != nil || s.Concluded() {
			return err
		}
		err := v.attempt(ctx, s)
		if errors.Is(err, errAgain) {
			continue
		}
		if err != nil || s.Concluded() {
			return err
		}
		if err := v.afterFailure(ctx, s); err != nil || s.Concluded() {
			return err
		}
	}
}

// ready waits until the technician stands at the detector. A zone that reports
// active is told while it lasts; the cue is given all the same when it is asked
// for again, since inverted wiring looks like that.
func (v *Visit) ready(ctx context.Context, s *commission.StepRecord) error {
	warned := false
	for {
		spec, err := v.readyWatch(s)
		if err != nil {
			return err
		}
		key, err := v.watchSaying(ctx, spec, v.tellingState(s))
		switch {
		case err != nil:
			return err
		case key == keyReady.Word && !v.connected():
			v.operator.Tell("   Not connected: no cue is given.")
		case key == keyReady.Word && v.stateOf(s) == commission.Active && !warned:
			v.operator.Tell("   Its zone reports active. Bring it to rest first; if it is at rest, press again: its wiring may be inverted.")
			warned = true
		case key == keyReady.Word:
			return nil
		case key == keySkip.Word:
			if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
				return err
			}
		case key == keyLeave.Word:
			return errLeave
		case key == keyJump.Word:
			if err := v.jump(ctx, s); !errors.Is(err, errBack) {
				return err
			}
		case key == keyNote.Word:
			if err := v.note(ctx, s); err != nil {
				return err
			}
		}
	}
}

// stateOf is the last known state of a detector's zone.
func (v *Visit) stateOf(s *commission.StepRecord) commission.State {
	var state commission.State
	_ = v.look(func(r *commission.Record) { // a failure is met at the next wait
		if z := r.Site.Zone(s.Zone); z != nil {
			state = r.StateOf(z.Address)
		}
	})
	return state
}

// tellingState is a wait that only a key ends, and that tells each change of the
// detector's zone meanwhile.
func (v *Visit) tellingState(s *commission.StepRecord) func(ask.Watching, *commission.Record, time.Time) (time.Time, string, bool) {
	told := commission.State("none yet")
	return func(w ask.Watching, r *commission.Record, _ time.Time) (time.Time, string, bool) {
		z := r.Site.Zone(s.Zone)
		if z == nil {
			return time.Time{}, "", false
		}
		if now := r.StateOf(z.Address); now != told {
			if told != "none yet" || now == commission.Active {
				w.Say(fmt.Sprintf("   zone %d reports %s", z.Number, orUnknown(now)))
			}
			told = now
		}
		return time.Time{}, "", false
	}
}

func orUnknown(s commission.State) string {
	if s == commission.Unknown {
		return "nothing that is known"
	}
	return string(s)
}

// jump goes to another detector of the stage, also to one that is concluded.
func (v *Visit) jump(ctx context.Context, s *commission.StepRecord) error {
	ids := map[string]*commission.StepRecord{}
	if err := v.look(func(r *commission.Record) {
		for _, other := range r.Steps {
			if other.Stage == s.Stage && other.Kind == commission.StepDetector {
				ids[string(other.Point)] = other
			}
		}
	}); err != nil {
		return err
	}
	point, err := v.operator.Ask(ctx, ask.Question{ID: s.ID + "/jump", Text: "Go to which detector?", Help: "for example 3.2; Enter alone goes back", Shape: ask.Text, Optional: true,
		Check: func(t string) error {
			if t != "" && ids[t] == nil {
				return fmt.Errorf("this stage has no detector %q", t)
			}
			return nil
		}})
	if err != nil {
		return err
	}
	other := ids[point]
	if other == nil || other == s {
		return errBack
	}
	if other.Concluded() {
		if err := v.add(commission.Reopened{Step: other.ID}); err != nil {
			return err
		}
	}
	if err := v.add(commission.Entered{Stage: s.Stage, Step: other.ID}); err != nil {
		return err
	}
	return errJump
}

// connected tells whether a cue makes sense now; a failure is met at the next
// step.
func (v *Visit) connected() bool {
	up := false
	_ = v.look(func(r *commission.Record) { up = r.Connected })
	return up
}

func (v *Visit) readyWatch(s *commission.StepRecord) (ask.Watch, error) {
	spec := ask.Watch{ID: s.ID + "/ready", Unattended: keyReady.Word, Keys: []ask.Key{keyReady, keyJump, keySkip, keyNote, keyLeave}}
	err := v.look(func(r *commission.Record) {
		z, d, err := r.Site.Find(s.Point)
		if err != nil {
			return
		}
		spec.Title = "Go to " + r.Title(s.Step)
		if d.Location != "" {
			spec.Lines = append(spec.Lines, "where: "+d.Location)
		}
		spec.Lines = append(spec.Lines, z.Hint())
		if z.Kind.Trait().Announce {
			spec.Lines = append(spec.Lines, "announce it first: its signal frightens people and may call help")
		}
		if z.Kind.Trait().LifeSafety {
			spec.Lines = append(spec.Lines, "life safety: the fire code decides how it is tested; here only its signal is timed")
		}
	})
	return spec, err
}

// attempt gives both cues. The step is concluded by the fold if it proved.
func (v *Visit) attempt(ctx context.Context, s *commission.StepRecord) error {
	operated, err := v.trial(ctx, s, commission.Operate)
	if err != nil || s.Concluded() {
		return err
	}
	if !operated.Answered() {
		v.tellVerdict(s, commission.Operate, operated)
		return nil
	}
	restored, err := v.trial(ctx, s, commission.Restore)
	if err != nil || s.Concluded() && restored.Verdict == commission.Void {
		return err
	}
	switch {
	case operated.Verdict != commission.Proved:
		v.tellVerdict(s, commission.Operate, operated)
	case restored.Verdict != commission.Proved:
		v.tellVerdict(s, commission.Restore, restored)
	default:
		v.operator.Tell(fmt.Sprintf("   %s proved: reported after %.2f s, restored after %.2f s", s.Point, operated.Response.Seconds(), restored.Response.Seconds()))
	}
	return nil
}

// tellVerdict says what a failed trial showed.
func (v *Visit) tellVerdict(s *commission.StepRecord, half commission.Half, j commission.Judgement) {
	text := fmt.Sprintf("   %s %s (%s)", s.Point, j.Verdict, half)
	switch j.Verdict {
	case commission.Crossed:
		text += fmt.Sprintf(": zone %d, %s, answered instead", j.Other.Number, j.Other.Name)
	case commission.Late:
		text += fmt.Sprintf(": reported after %.2f s", j.Response.Seconds())
	case commission.Undecided:
		text += fmt.Sprintf(": reported after %.2f s, which lies within its uncertainty (± %.2f s) of the limit; try again", j.Response.Seconds(), j.Uncertainty.Seconds())
	case commission.Inverted:
		text += ": the opposite was reported"
	case commission.Unsteady:
		text += fmt.Sprintf(": it changed %d times", j.Changes)
	case commission.Silent:
		text += ": nothing came"
		if j.Garbled != "" {
			text += " that controller.yaml knows, but " + j.Garbled + " was reported"
		}
	}
	v.operator.Tell(text)
}

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
		key, err := v.trialKey(ctx, spec, trial, until)
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
func (v *Visit) trialKey(ctx context.Context, spec ask.Watch, trial *commission.Trial, u func(ask.Watching, *commission.Record, time.Time) (time.Time, string, bool)) (string, error) {
	w, err := v.operator.Watch(ctx, spec)
	if err != nil {
		return "", err
	}
	defer w.Close()
	timed, byHand := v.source.(KeyTimed)
	for {
		key, err := v.await(ctx, w, w.Keys(), func(r *commission.Record, now time.Time) (time.Time, string, bool) { return u(w, r, now) })
		switch {
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

// afterFailure asks what to do about a detector that was not proved.
func (v *Visit) afterFailure(ctx context.Context, s *commission.StepRecord) error {
	for {
		word, err := v.choose(ctx, s.ID+"/not-proved", v.title(s)+" was not proved", "Repeat it after a repair, or leave it as it is: it will be a finding.",
			ask.Option{Word: "again", Label: "try again"},
			ask.Option{Word: string(commission.AsItIs), Label: "leave it as it is"},
			ask.Option{Word: "note", Label: "write a note"})
		if err != nil {
			return err
		}
		switch word {
		case "again":
			return nil
		case "note":
			if err := v.note(ctx, s); err != nil {
				return err
			}
		default:
			return v.add(commission.Answer{Step: s.ID, Result: commission.AsItIs})
		}
	}
}
