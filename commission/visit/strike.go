package visit

import (
	"context"
	"maps"
	"slices"
	"strconv"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

var strikeOption = ask.Option{Word: "strike", Label: ask.StrikeChoice}

// strike asks what spoiled an attempt at a detector, which then counts no more.
func (v *Visit) strike(ctx context.Context, s *record.Outcome, number int) error {
	reason, err := v.ask(ctx, ask.Question{ID: s.Step().ID + "/struck", What: ask.SpoiledMatter, Help: ask.SpoiledAdvice,
		Takes: ask.Line{}, Optional: true, Back: true})
	if err == nil && reason == "" {
		err = errBack
	}
	if err != nil {
		return err
	}
	if err := v.add(record.Struck{Step: s.Step().ID, Trial: number, Reason: reason}); err != nil {
		return err
	}
	v.operator.Tell(ask.Struck{Step: v.name(s), Number: number})
	return nil
}

// strikeAny asks which attempt of the visit was spoiled.
func (v *Visit) strikeAny(ctx context.Context) error {
	at := seen(v, strikable)
	if len(at) == 0 {
		v.operator.Tell(ask.NothingToStrike{})
		return nil
	}
	answer, err := v.operator.Ask(ctx, ask.Question{ID: "strike", What: ask.StrikeMatter,
		Takes: ask.Names{Of: slices.Sorted(maps.Keys(at))}, Optional: true, Back: true})
	if err != nil || answer.Text == "" {
		return err
	}
	s := at[answer.Text]
	answer, err = v.operator.Ask(ctx, ask.Question{ID: "strike/" + answer.Text, What: ask.WhichTrial{Step: v.name(s)},
		Takes: ask.OneOf{Options: v.trialsOf(s)}})
	if err != nil || answer.Text == backOption.Word {
		return err
	}
	number, err := strconv.Atoi(answer.Text)
	if err != nil {
		return err // an answer that was let pass
	}
	return v.strike(ctx, s, number)
}

// strikable are the steps with an attempt that counts, by their point, or by their name
// where another step has that point.
func strikable(r *record.Record) map[string]*record.Outcome {
	at := map[string]*record.Outcome{}
	for _, s := range r.Outcomes() {
		if s.Step().Kind != programme.StepDetector || len(s.Standing()) == 0 {
			continue
		}
		word := string(s.Step().Point)
		if at[word] != nil {
			word = s.Step().ID
		}
		at[word] = s
	}
	return at
}

// trialsOf are the attempts of a step that count, with what they showed.
func (v *Visit) trialsOf(s *record.Outcome) []ask.Option {
	return seen(v, func(*record.Record) []ask.Option {
		options := []ask.Option{backOption}
		all := s.Attempts()
		for _, n := range s.Standing() {
			options = append(options, ask.Option{Word: strconv.Itoa(n),
				Label: ask.TrialChoice{Number: n, Shown: judge.ShownBy(all[n-1])}})
		}
		return options
	})
}
