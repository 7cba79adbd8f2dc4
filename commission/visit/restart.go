package visit

import (
	"context"
	"errors"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// restart takes all power away and times the first report after it came back.
func (v *Visit) restart(ctx context.Context, s *record.Outcome) error {
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: v.name(s), Help: ask.AllPowerAdvice},
		ask.Option{Word: "restart", Label: ask.PowerOffChoice}, notTestedOption)
	if err != nil {
		return err
	}
	if answer.Text == notTestedOption.Word {
		return v.leaveOut(ctx, s)
	}
	pressed, err := v.watch(ctx, ask.Watch{ID: s.Step().ID + "/ready", Title: ask.PowerBackMatter, Unattended: ask.Ready,
		Lines: []ask.Phrase{ask.OperateNearAdvice}, Keys: v.withRedo(ask.Ready, ask.Leave)}, forever)
	if err != nil {
		return err
	}
	switch pressed.Key {
	case ask.Leave:
		return errLeave
	case ask.Redo:
		return errRedo
	}
	err = v.restartTrial(ctx, s, pressed)
	if errors.Is(err, errAgain) {
		return nil // the step is taken again
	}
	return err
}

func (v *Visit) restartTrial(ctx context.Context, s *record.Outcome, ready ask.Pressed) error {
	trial, cueAt, err := v.cue(s, record.Operate, ready)
	if err != nil {
		return err
	}
	pressed, err := v.awaitRestart(ctx, s, cueAt)
	at := v.instantOf(pressed, cueAt)
	if err != nil {
		_, ending := v.endTrial(s, trial, record.ByPause, at)
		return errors.Join(err, ending)
	}
	end := record.ByTime
	timed, byHand := v.source.(signal.KeyTimed)
	switch {
	case pressed.Key == ask.Indicated && byHand:
		first := seen(v, func(r *record.Record) *site.Zone { return &r.Site().Zones[0] })
		timed.Press(at, first.Address, signal.Active)
	case pressed.Key != "":
		end = endOfKey[pressed.Key]
	}
	if end, err = v.endTrial(s, trial, end, at); err != nil {
		return err
	}
	switch {
	case end == record.ByOverrun || end == record.ByAbsence:
		v.tellVoid(end)
		return errAgain
	case s.Concluded():
		v.operator.Tell(ask.Restarted{After: at.Sub(cueAt)})
		return nil
	case end == record.ByLeaving:
		return errLeave
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.AsItIs})
}

// awaitRestart waits for any report of the controller.
func (v *Visit) awaitRestart(ctx context.Context, s *record.Outcome, cueAt time.Time) (ask.Pressed, error) {
	keys := []ask.Key{ask.Silent, ask.Leave}
	if _, byHand := v.source.(signal.KeyTimed); byHand {
		keys = append([]ask.Key{ask.Indicated}, keys...)
	}
	limit := seen(v, func(r *record.Record) time.Duration { return r.Site().Limits.ColdRestart.Duration() })
	return v.watch(ctx, ask.Watch{ID: s.Step().ID + "/wait", Title: ask.FirstReportMatter, Keys: keys},
		func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
			t, _ := r.Trial()
			return cueAt.Add(2 * limit), ask.RestartStatus{Since: now.Sub(cueAt), Limit: limit}, t == nil || len(t.Heard()) > 0
		})
}
