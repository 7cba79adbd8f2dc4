package visit

import (
	"context"

	"loopwitness/commission"
	"loopwitness/commission/ask"
)

// check asks for one item of a checklist.
func (v *Visit) check(ctx context.Context, s *commission.StepRecord) error {
	word, err := v.choose(ctx, s.ID, s.Text, "",
		ask.Option{Word: string(commission.Done), Label: "done, it is so"},
		ask.Option{Word: string(commission.NotApplicable), Label: "not applicable here, with a reason"},
		ask.Option{Word: string(commission.Defect), Label: "defect, with a note"},
		ask.Option{Word: string(commission.LeftOut), Label: "not checked, with a reason"})
	if err != nil {
		return err
	}
	answer := commission.Answer{Step: s.ID, Result: commission.Result(word)}
	switch answer.Result {
	case commission.NotApplicable, commission.LeftOut:
		answer.Remark, err = v.text(ctx, s.ID+"/reason", "For what reason?", "")
	case commission.Defect:
		answer.Remark, err = v.text(ctx, s.ID+"/note", "What is the defect, and where?", "")
	}
	if err != nil {
		return err
	}
	return v.add(answer)
}
