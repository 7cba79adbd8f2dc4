package visit

import (
	"context"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// check asks for one item of a checklist.
func (v *Visit) check(ctx context.Context, s *record.Outcome) error {
	word, err := v.keep(
		ctx,
		s,
		ask.Question{ID: s.Step().ID, What: v.name(s), Takes: ask.OneOf{Options: []ask.Option{
			{Word: string(record.Done), Label: ask.DoneChoice}, // Enter alone, item by item; redo takes it back
			{Word: string(record.NotApplicable), Label: ask.NotApplicableChoice},
			{Word: string(record.Defect), Label: ask.DefectChoice},
			{Word: string(record.LeftOut), Label: ask.NotCheckedChoice}, leaveOption}}},
	)
	if err != nil {
		return err
	}
	if word == leaveOption.Word {
		return errLeave
	}
	answer := record.Answer{Step: s.Step().ID, Result: record.Result(word)}
	switch answer.Result {
	case record.NotApplicable, record.LeftOut:
		answer.Remark, err = v.text(ctx, s, "/reason", ask.ReasonMatter, nil)
	case record.Defect:
		answer.Remark, err = v.text(ctx, s, "/note", ask.DefectMatter, nil)
	}
	if err != nil {
		return err
	}
	return v.add(answer)
}
