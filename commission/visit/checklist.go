package visit

import (
	"context"

	"loopwitness/commission"
	"loopwitness/commission/ask"
)

// check asks for one item of a checklist.
func (v *Visit) check(ctx context.Context, s *commission.StepRecord) error {
	word, err := v.keep(ctx, s, ask.Question{ID: s.ID, Text: s.Text, Shape: ask.Choice, Options: []ask.Option{leaveOption,
		{Word: string(commission.Done), Label: "done, it is so"},
		{Word: string(commission.NotApplicable), Label: "not applicable here, with a reason"},
		{Word: string(commission.Defect), Label: "defect, with a note"},
		{Word: string(commission.LeftOut), Label: "not checked, with a reason"}}})
	if err != nil {
		return err
	}
	if word == leaveOption.Word {
		return errLeave
	}
	answer := commission.Answer{Step: s.ID, Result: commission.Result(word)}
	switch answer.Result {
	case commission.NotApplicable, commission.LeftOut:
		answer.Remark, err = v.text(ctx, s, "/reason", "For what reason?", "")
	case commission.Defect:
		answer.Remark, err = v.text(ctx, s, "/note", "What is the defect, and where?", "")
	}
	if err != nil {
		return err
	}
	return v.add(answer)
}
