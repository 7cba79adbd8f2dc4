package visit

import (
	"context"
	"fmt"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// chooseStage asks where to go on. Nothing is lost by leaving a stage: its open
// steps stay open.
func (v *Visit) chooseStage(ctx context.Context) error {
	options := []ask.Option{{Word: "pause", Label: "pause the visit"}}
	err := v.look(func(r *record.Record) {
		for _, stage := range programme.Stages {
			if label := stageLabel(r, stage); label != "" {
				options = append(options, ask.Option{Word: string(stage), Label: label})
			}
		}
	})
	if err != nil {
		return err
	}
	v.warnMainsOff()
	word, err := v.operator.Ask(ctx, ask.Question{ID: "stage", Text: "Go on with which stage?", Shape: ask.Choice, Options: options})
	if err != nil {
		return err
	}
	if word == "pause" {
		return ask.ErrPaused
	}
	return v.enter(ctx, programme.Stage(word))
}

func stageLabel(r *record.Record, stage programme.Stage) string {
	all, open := r.Count(stage)
	switch {
	case all == 0:
		return ""
	case open == 0:
		return fmt.Sprintf("%s: all %d concluded; take one again", stage, all)
	}
	return fmt.Sprintf("%s: %d of %d open", stage, open, all)
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
		v.operator.Tell(fmt.Sprintf("   %d steps are still open. Conclude each, or say why it is not tested, before anybody signs.", before))
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
	options := []ask.Option{{Word: "back", Label: "none"}}
	ids := map[string]string{}
	err := v.look(func(r *record.Record) {
		poor := judge.Unsatisfied(r)
		for _, want := range []bool{true, false} {
			for _, s := range r.Outcomes() {
				if s.Step().Stage != stage || poor[s.Step().ID] != want {
					continue
				}
				word := string(s.Step().Point)
				if word == "" || ids[word] != "" {
					word = s.Step().ID
				}
				ids[word] = s.Step().ID
				if len(options) <= maxOffered {
					options = append(options, ask.Option{Word: word, Label: words.English{}.Say(programme.NameOf(r.Site(), s.Step()))})
				}
			}
		}
	})
	if err != nil {
		return err
	}
	if len(ids) > maxOffered {
		options = append(options, ask.Option{Word: "other", Label: "another one, by its number or name"})
	}
	word, err := v.operator.Ask(ctx, ask.Question{ID: "reopen/" + string(stage), Text: "Take which step again?", Shape: ask.Choice, Options: options})
	if err != nil || word == "back" {
		return err
	}
	if word == "other" {
		word, err = v.operator.Ask(ctx, ask.Question{ID: "reopen/" + string(stage) + "/other", Text: "Which one?", Help: "for example " + string(site.PointOf(3, 1)), Shape: ask.Text,
			Check: func(t string) error {
				if ids[t] == "" {
					return fmt.Errorf("this stage has no step %q", t)
				}
				return nil
			}})
		if err != nil {
			return err
		}
	}
	if err := v.add(record.Reopened{Step: ids[word]}); err != nil {
		return err
	}
	return v.add(record.Entered{Stage: stage})
}
