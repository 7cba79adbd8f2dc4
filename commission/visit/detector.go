package visit

import (
	"context"
	"errors"
	"fmt"

	"loopwitness/commission"
	"loopwitness/commission/ask"
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
