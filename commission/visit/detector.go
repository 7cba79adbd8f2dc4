package visit

import (
	"context"
	"errors"
	"fmt"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

var (
	// errAgain: the attempt is to be made once more.
	errAgain = errors.New("again")
	// errJump: another step is to be taken first.
	errJump = errors.New("jump")
)

// detector operates and restores one detector until it is proved, accepted as
// it is, or left out.
func (v *Visit) detector(ctx context.Context, s *record.Outcome) error {
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

// attempt gives both cues. The step is concluded by the fold if it proved.
func (v *Visit) attempt(ctx context.Context, s *record.Outcome) error {
	operated, err := v.trial(ctx, s, record.Operate)
	if err != nil || s.Concluded() {
		return err
	}
	if !operated.Answered() {
		v.tellVerdict(s, record.Operate, operated)
		return nil
	}
	restored, err := v.trial(ctx, s, record.Restore)
	if err != nil || s.Concluded() && restored.Verdict == record.Void {
		return err
	}
	switch {
	case operated.Verdict != record.Proved:
		v.tellVerdict(s, record.Operate, operated)
	case restored.Verdict != record.Proved:
		v.tellVerdict(s, record.Restore, restored)
	default:
		v.operator.Tell(fmt.Sprintf("   %s proved: reported after %.2f s, restored after %.2f s", s.Step().Point, operated.Response.Seconds(), restored.Response.Seconds()))
	}
	return nil
}

// tellVerdict says what a failed trial showed.
func (v *Visit) tellVerdict(s *record.Outcome, half record.Half, j record.Judgement) {
	text := fmt.Sprintf("   %s %s (%s)", s.Step().Point, j.Verdict, half)
	switch j.Verdict {
	case record.Crossed:
		text += fmt.Sprintf(": zone %d, %s, answered instead", j.Other.Number, j.Other.Name)
	case record.Late:
		text += fmt.Sprintf(": reported after %.2f s", j.Response.Seconds())
	case record.Undecided:
		text += fmt.Sprintf(": reported after %.2f s, which lies within its uncertainty (± %.2f s) of the limit; try again", j.Response.Seconds(), j.Uncertainty.Seconds())
	case record.Inverted:
		text += ": the opposite was reported"
	case record.Unsteady:
		text += fmt.Sprintf(": it changed %d times", j.Changes)
	case record.Silent:
		text += ": nothing came"
		if j.Garbled != "" {
			text += " that controller.yaml knows, but " + j.Garbled + " was reported"
		}
	}
	v.operator.Tell(text)
}

// afterFailure asks what to do about a detector that was not proved.
func (v *Visit) afterFailure(ctx context.Context, s *record.Outcome) error {
	for {
		word, err := v.choose(ctx, s.Step().ID+"/not-proved", v.title(s)+" was not proved", "Repeat it after a repair, or leave it as it is: it will be a finding.",
			ask.Option{Word: "again", Label: "try again"},
			ask.Option{Word: string(record.AsItIs), Label: "leave it as it is"},
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
			return v.add(record.Answer{Step: s.Step().ID, Result: record.AsItIs})
		}
	}
}
