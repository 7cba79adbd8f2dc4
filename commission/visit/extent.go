package visit

import (
	"context"
	"errors"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// asTold asks for what is written down as it was told, one after the other.
func (v *Visit) asTold(ctx context.Context, s *record.Outcome) error {
	for !s.Concluded() {
		open := seen(v, func(r *record.Record) []string { return r.ToFind(s) })
		for _, k := range programme.ToldKeys(s.Step().Group) {
			if len(open) == 0 || k.Key != open[0] {
				continue
			}
			text, err := v.toldValue(ctx, s, k)
			if errors.Is(err, errRedo) && len(s.Found()) > 0 {
				if err := v.add(record.Reopened{Step: s.Step().ID}); err != nil {
					return err
				}
				return errBack
			}
			if err != nil {
				return err
			}
			if err := v.add(record.Found{Step: s.Step().ID, Key: k.Key, Text: text}); err != nil {
				return err
			}
			break
		}
		if len(open) == 0 {
			return nil
		}
	}
	return nil
}

// mostAlarms is how many false alarms can be counted in one answer.
const mostAlarms = 9999

func (v *Visit) toldValue(ctx context.Context, s *record.Outcome, k programme.ToldKey) (string, error) {
	q := ask.Question{ID: s.Step().ID + "/" + lastPart(k.Key), What: ask.ToldValue{Step: v.name(s), Key: k.Key},
		Help: ask.FoundAdvice, Takes: ask.Line{}, Optional: true}
	switch {
	case len(k.Words) > 0:
		options := []ask.Option{leaveOption}
		for _, w := range k.Words {
			options = append(options, ask.Option{Word: w, Label: ask.ToldWord(w)})
		}
		q.Takes, q.Optional, q.Help = ask.OneOf{Options: options}, false, nil
		word, err := v.ask(ctx, q)
		if err == nil && word == leaveOption.Word {
			err = errLeave
		}
		return word, err
	case k.Number:
		q.Takes = ask.Whole{Most: mostAlarms}
	}
	return v.ask(ctx, q)
}

// extent asks which detectors the visit is about, and what becomes of the others.
func (v *Visit) extent(ctx context.Context, s *record.Outcome) error {
	var points []string
	_ = v.look(func(r *record.Record) {
		for _, o := range r.Outcomes() {
			if o.Step().Stage == programme.StageWalkTest && o.Step().Kind == programme.StepDetector {
				points = append(points, string(o.Step().Point))
			}
		}
	})
	fact := record.Extent{Step: s.Step().ID, Concerned: []site.Point{}}
	return v.inTurn(s, func() error {
		text, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID, What: ask.WhichConcerned{Step: v.name(s)},
			Takes: ask.Names{Of: points, Several: true}, Optional: true})
		fact.Concerned = fact.Concerned[:0]
		for _, p := range unique(ask.SplitNames(text)) {
			fact.Concerned = append(fact.Concerned, site.Point(p))
		}
		return err
	}, func() error {
		others := len(points) - len(fact.Concerned)
		if len(fact.Concerned) == 0 || others == 0 {
			return v.add(fact)
		}
		word, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID + "/others", What: ask.AndTheOthers{Others: others},
			Takes: ask.OneOf{Options: []ask.Option{{Word: testToo, Label: ask.TestThemChoice},
				{Word: leaveOthers, Label: ask.LeaveThemChoice}}}})
		if err != nil {
			return err
		}
		if fact.OnlyThese = word == leaveOthers; fact.OnlyThese {
			if fact.Reason, err = v.text(ctx, s, "/reason", ask.NotTestedMatter, ask.PrintedAdvice); err != nil {
				return err
			}
		}
		return v.add(fact)
	})
}

// The answers to what becomes of the other detectors.
const (
	testToo     = "test them too"
	leaveOthers = "leave them out"
)

func unique(all []string) (some []string) {
	seen := map[string]bool{}
	for _, one := range all {
		if !seen[one] {
			seen[one], some = true, append(some, one)
		}
	}
	return some
}
