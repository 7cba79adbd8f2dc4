package visit

import (
	"context"
	"errors"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

var (
	// errAgain says that the attempt is to be made once more.
	errAgain = errors.New("again")
	// errJump says that another step is to be taken first.
	errJump = errors.New("jump")
)

// detector operates and restores one detector until it is proved, accepted as
// it is, or left out.
func (v *Visit) detector(ctx context.Context, s *record.Outcome) error {
	for {
		ready, err := v.ready(ctx, s)
		if err != nil || s.Concluded() {
			return err
		}
		err = v.attempt(ctx, s, ready)
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

// attempt gives both cues. The step is concluded by the fold if it proved. What the
// technician did before we heard of it is taken as they did it.
func (v *Visit) attempt(ctx context.Context, s *record.Outcome, ready ask.Pressed) error {
	operated, is, err := v.takenBefore(ctx, s, ready)
	if err == nil && !is {
		operated, err = v.trial(ctx, s, record.Operate, ready)
	}
	if err != nil || s.Concluded() {
		return err
	}
	if !operated.Answered() {
		v.tellShown(s, record.Operate, operated.Judgement)
		return nil
	}
	var restored tried
	reported := operated.at.Add(seen(v, func(*record.Record) time.Duration { return operated.trial.AnsweredAfter() }))
	switch {
	case v.restoredBefore(s, operated):
		restored, err = v.restoredInOwnTime(ctx, s, reported, ready.Until)
	case operated.trial.Own():
		restored, err = v.restoring(ctx, s, reported)
	default:
		restored, err = v.trial(ctx, s, record.Restore, ask.Pressed{})
	}
	if err != nil || s.Concluded() && restored.Verdict == record.Void {
		return err
	}
	v.tellAttempt(s, operated, restored)
	return nil
}

// tellAttempt says what both halves showed.
func (v *Visit) tellAttempt(s *record.Outcome, operated, restored tried) {
	switch {
	case !operated.Verdict.Proves():
		v.tellShown(s, record.Operate, operated.Judgement)
	case !restored.Verdict.Proves():
		v.tellShown(s, record.Restore, restored.Judgement)
	case operated.NotTimed == "" && restored.NotTimed == "":
		v.operator.Tell(ask.Proved{Point: s.Step().Point, Reported: operated.Response, Restored: restored.Response})
	default:
		v.operator.Tell(ask.Ticked{Point: s.Step().Point, After: operated.Response})
	}
}

// tellShown says what an attempt showed that did not prove.
func (v *Visit) tellShown(s *record.Outcome, half record.Half, j record.Judgement) {
	trials := seen(v, func(*record.Record) int { return len(s.Tried()) })
	v.operator.Tell(ask.TrialShown{Point: s.Step().Point, Shown: judge.Shown{Half: half, Judgement: j, Trials: trials}})
}

var (
	againOption  = ask.Option{Word: "again", Label: ask.AgainChoice}
	asItIsOption = ask.Option{Word: string(record.AsItIs), Label: ask.AsItIsChoice}
	noteOption   = ask.Option{Word: "note", Label: ask.NoteChoice}
)

// afterFailure asks what to do about a detector that was not proved.
func (v *Visit) afterFailure(ctx context.Context, s *record.Outcome) error {
	for {
		answer, err := v.choose(
			ctx,
			ask.Question{ID: s.Step().ID + "/not-proved", What: ask.NotProved{Step: v.name(s)}, Help: ask.RepairAdvice},
			againOption,
			asItIsOption,
			noteOption,
			strikeOption,
		)
		if err != nil {
			return err
		}
		switch answer.Text {
		case againOption.Word:
			return nil
		case noteOption.Word:
			if err := v.note(ctx, s); err != nil {
				return err
			}
		case strikeOption.Word:
			latest := seen(v, func(*record.Record) int { return slices.Max(s.Standing()) })
			if err := v.strike(ctx, s, latest); !errors.Is(err, errBack) {
				return err // it is taken again, unless an attempt before it stands
			}
		default:
			return v.add(record.Answer{Step: s.Step().ID, Result: record.AsItIs})
		}
	}
}
