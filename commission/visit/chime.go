package visit

import (
	"context"
	"errors"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// chime opens a followed zone and waits until the chime is heard.
func (v *Visit) chime(ctx context.Context, s *record.Outcome) error {
	for {
		ready, err := v.ready(ctx, s)
		if err != nil || s.Concluded() {
			return err
		}
		end, heard, err := v.chimeTrial(ctx, s, ready)
		switch {
		case errors.Is(err, errAgain):
			continue
		case err != nil || s.Concluded():
			if err == nil && end == record.ByHeard {
				v.operator.Tell(ask.ChimeHeard{Output: s.Step().Output, After: heard})
			}
			return err
		}
		again, err := v.notHeard(ctx, s)
		if err != nil || !again {
			return err
		}
	}
}

// notHeard asks what to do about a chime that was not heard, and tells whether it is
// tried again.
func (v *Visit) notHeard(ctx context.Context, s *record.Outcome) (again bool, err error) {
	answer, err := v.choose(
		ctx,
		ask.Question{ID: s.Step().ID + "/not-heard", What: ask.NotHeard{Step: v.name(s)}, Help: ask.RepeatAdvice},
		againOption,
		asItIsOption,
	)
	if err != nil || answer.Text == againOption.Word {
		return err == nil, err
	}
	return false, v.add(record.Answer{Step: s.Step().ID, Result: record.AsItIs})
}

func (v *Visit) chimeTrial(
	ctx context.Context,
	s *record.Outcome,
	ready ask.Pressed,
) (record.End, time.Duration, error) {
	trial, cueAt, err := v.cue(s, record.Operate, ready)
	if err != nil {
		return "", 0, err
	}
	pressed, at, err := v.awaitChime(ctx, s, trial, cueAt)
	if err != nil {
		_, ending := v.endTrial(s, trial, record.ByPause, at)
		return "", 0, errors.Join(err, ending)
	}
	end, known := endOfKey[pressed.Key]
	if !known {
		end = record.ByTime
	}
	if end, err = v.endTrial(s, trial, end, at); err != nil {
		return "", 0, err
	}
	switch end {
	case record.ByAgain, record.ByLost, record.ByOverrun, record.ByAbsence:
		v.tellVoid(end)
		return end, 0, errAgain
	case record.ByLeaving:
		return end, 0, errLeave
	case record.BySkip:
		if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
			return end, 0, err
		}
		return end, 0, errAgain
	}
	return end, at.Sub(cueAt), nil
}

// awaitChime waits for a key that ends the trial of a chime, and tells when it was pressed.
// Nobody hears a chime and presses a key at once.
func (v *Visit) awaitChime(
	ctx context.Context,
	s *record.Outcome,
	trial *record.Trial,
	cueAt time.Time,
) (ask.Pressed, time.Time, error) {
	w, err := v.operator.Watch(ctx, v.chimeWatch(s, trial))
	if err != nil {
		return ask.Pressed{}, v.clock.Now(), err
	}
	defer w.Close()
	limit := trial.Rules().ListenFor
	listening := func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
		t, _ := r.Trial()
		return cueAt.Add(limit), ask.ListenStatus{Since: now.Sub(cueAt), ListenFor: limit}, t != trial
	}
	for {
		pressed, err := v.await(ctx, w, w.Pressed(), listening)
		at := v.instantOf(pressed, cueAt)
		if err != nil || pressed.Key != ask.Heard || at.Sub(cueAt) >= record.Soonest {
			return pressed, at, err
		}
		w.Say(ask.TooSoon{})
	}
}

func (v *Visit) chimeWatch(s *record.Outcome, trial *record.Trial) ask.Watch {
	name := v.name(s)
	return ask.Watch{ID: s.Step().ID + "/heard", Cue: record.Operate, Urgent: true,
		Title: ask.Now{Do: programme.Operating{Kind: trial.Kind()}, Step: name, Listen: true}, Lines: []ask.Phrase{name},
		Keys: []ask.Key{ask.Heard, ask.Silent, ask.Again, ask.Skip, ask.Leave}}
}
