package visit

import (
	"context"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// jump goes to another detector of the stage, which is asked for unless it is named.
func (v *Visit) jump(ctx context.Context, s *record.Outcome, to site.Point) error {
	at := map[string]*record.Outcome{}
	if err := v.look(func(r *record.Record) {
		for _, other := range r.Outcomes() {
			if other.Step().Stage == s.Step().Stage && other.Step().Kind == programme.StepDetector {
				at[string(other.Step().Point)] = other
			}
		}
	}); err != nil {
		return err
	}
	if to == "" {
		answer, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/jump", What: ask.DetectorMatter,
			Takes: ask.Points{Board: seen(v, BoardOf)}, Optional: true, Back: true})
		if err != nil {
			return err
		}
		to = site.Point(answer.Text)
	}
	other := at[string(to)]
	if other == nil || other == s {
		return errBack
	}
	if other.Concluded() {
		if err := v.lookAt(ctx, s, other); err != nil {
			return err
		}
	}
	if err := v.add(record.Entered{Stage: s.Step().Stage, Step: other.Step().ID}); err != nil {
		return err
	}
	return errJump
}

// lookAt tells what a concluded detector showed, and opens it again where that is wanted: who
// only looks does not take a proof back (errBack).
func (v *Visit) lookAt(ctx context.Context, from, s *record.Outcome) error {
	v.operator.Tell(seen(v, func(r *record.Record) ask.LooksAt {
		told := ask.LooksAt{Step: programme.NameOf(r.Site(), s.Step()), Result: s.Result(), Remark: s.Remark()}
		struck := s.Struck()
		for i, a := range s.Attempts() {
			if _, is := struck[i+1]; is || a.Verdict() != record.Void {
				told.Attempts = append(told.Attempts, ask.TrialChoice{Number: i + 1, Shown: judge.ShownBy(a)})
			}
		}
		return told
	}))
	again, err := v.yes(ctx, ask.Question{ID: from.Step().ID + "/jump/again", What: ask.TakeAgain{Step: v.name(s)},
		Takes: ask.YesNo{}, Optional: true, Back: true})
	if err == nil && !again {
		err = errBack
	}
	if err != nil {
		return err
	}
	return v.add(record.Reopened{Step: s.Step().ID})
}
