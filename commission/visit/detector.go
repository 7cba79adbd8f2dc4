package visit

import (
	"context"
	"errors"
	"slices"

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

// attempt gives both cues. The step is concluded by the fold if it proved.
func (v *Visit) attempt(ctx context.Context, s *record.Outcome, ready ask.Pressed) error {
	operated, err := v.trial(ctx, s, record.Operate, ready)
	if err != nil || s.Concluded() {
		return err
	}
	if !operated.Answered() {
		v.tellShown(s, record.Operate, operated)
		return nil
	}
	restored, err := v.trial(ctx, s, record.Restore, ask.Pressed{})
	if err != nil || s.Concluded() && restored.Verdict == record.Void {
		return err
	}
	switch {
	case operated.Verdict != record.Proved:
		v.tellShown(s, record.Operate, operated)
	case restored.Verdict != record.Proved:
		v.tellShown(s, record.Restore, restored)
	default:
		v.operator.Tell(ask.Proved{Point: s.Step().Point, Reported: operated.Response, Restored: restored.Response})
	}
	return nil
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
