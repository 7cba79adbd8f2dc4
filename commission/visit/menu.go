package visit

import (
	"context"
	"errors"
	"maps"
	"slices"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

var (
	pauseOption = ask.Option{Word: "pause", Label: ask.PauseChoice}
	backOption  = ask.Option{Word: "back", Label: ask.NoneChoice}
	otherOption = ask.Option{Word: "other", Label: ask.OtherChoice}
)

// chooseStage asks where to go on. Nothing is lost by leaving a stage: its open
// steps stay open.
func (v *Visit) chooseStage(ctx context.Context) error {
	options := []ask.Option{pauseOption}
	err := v.look(func(r *record.Record) {
		for _, stage := range programme.Stages {
			if all, open := r.Count(stage); all > 0 {
				options = append(
					options,
					ask.Option{Word: string(stage), Label: ask.StageChoice{Stage: stage, All: all, Open: open}},
				)
			}
		}
	})
	if err != nil {
		return err
	}
	if len(seen(v, strikable)) > 0 {
		options = append(options, strikeOption)
	}
	v.warnMainsOff()
	answer, err := v.operator.Ask(
		ctx,
		ask.Question{ID: "stage", What: ask.StageMatter, Takes: ask.OneOf{Options: options}},
	)
	if err != nil {
		return err
	}
	if answer.Text == pauseOption.Word {
		return ask.ErrPaused
	}
	if answer.Text == strikeOption.Word {
		if err := v.strikeAny(ctx); err != nil && !errors.Is(err, errBack) {
			return err
		}
		return v.chooseStage(ctx)
	}
	return v.enter(ctx, programme.Stage(answer.Text))
}

// enter goes to a stage. The names come last; a concluded stage is entered to
// take a step again.
func (v *Visit) enter(ctx context.Context, stage programme.Stage) error {
	var before, open int
	err := v.look(func(r *record.Record) {
		if stage == programme.StageSignOff {
			before = len(r.OpenBefore(stage))
		}
		_, open = r.Count(stage)
	})
	switch {
	case err != nil:
		return err
	case before > 0:
		v.operator.Tell(ask.StepsOpen{Open: before})
		return nil
	case open == 0:
		return v.reopen(ctx, stage)
	}
	return v.add(record.Entered{Stage: stage})
}

// maxOffered is how many steps are offered by name.
const maxOffered = 12

// reopen asks which concluded step is taken again; those that were not proved
// are offered first.
func (v *Visit) reopen(ctx context.Context, stage programme.Stage) error {
	options, ids, err := v.reopenable(stage)
	if err != nil {
		return err
	}
	if len(ids) > maxOffered {
		options = append(options, otherOption)
	}
	answer, err := v.operator.Ask(
		ctx,
		ask.Question{ID: "reopen/" + string(stage), What: ask.StepAgainMatter, Takes: ask.OneOf{Options: options}},
	)
	if err != nil || answer.Text == backOption.Word {
		return err
	}
	if answer.Text == otherOption.Word {
		answer, err = v.operator.Ask(ctx, ask.Question{ID: "reopen/" + string(stage) + "/other", What: ask.OtherStepMatter,
			Takes: ask.Names{Of: slices.Sorted(maps.Keys(ids))}})
		if err != nil {
			return err
		}
	}
	if err := v.add(record.Reopened{Step: ids[answer.Text]}); err != nil {
		return err
	}
	return v.add(record.Entered{Stage: stage})
}

// reopenable are the steps of a stage by the words that name them, and the first of
// them as options.
func (v *Visit) reopenable(stage programme.Stage) ([]ask.Option, map[string]string, error) {
	options := []ask.Option{backOption}
	ids := map[string]string{}
	err := v.look(func(r *record.Record) {
		poor := judge.Unsatisfied(r)
		for _, want := range []bool{true, false} {
			for _, s := range r.Outcomes() {
				if s.Step().Stage != stage || poor[s.Step().ID] != want {
					continue
				}
				word := string(s.Step().Point)
				if word == "" || ids[word] != "" || s.Step().Look() {
					word = s.Step().ID
				}
				ids[word] = s.Step().ID
				if len(options) <= maxOffered {
					options = append(options, ask.Option{Word: word, Label: programme.NameOf(r.Site(), s.Step())})
				}
			}
		}
	})
	return options, ids, err
}
