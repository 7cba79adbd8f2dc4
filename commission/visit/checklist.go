package visit

import (
	"context"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// check asks for one item of a checklist.
func (v *Visit) check(ctx context.Context, s *record.Outcome) error {
	word, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID, Text: s.Step().Text, Shape: ask.Choice, Options: []ask.Option{leaveOption,
		{Word: string(record.Done), Label: "done, it is so"},
		{Word: string(record.NotApplicable), Label: "not applicable here, with a reason"},
		{Word: string(record.Defect), Label: "defect, with a note"},
		{Word: string(record.LeftOut), Label: "not checked, with a reason"}}})
	if err != nil {
		return err
	}
	if word == leaveOption.Word {
		return errLeave
	}
	answer := record.Answer{Step: s.Step().ID, Result: record.Result(word)}
	switch answer.Result {
	case record.NotApplicable, record.LeftOut:
		answer.Remark, err = v.text(ctx, s, "/reason", "For what reason?", "")
	case record.Defect:
		answer.Remark, err = v.text(ctx, s, "/note", "What is the defect, and where?", "")
	}
	if err != nil {
		return err
	}
	return v.add(answer)
}
