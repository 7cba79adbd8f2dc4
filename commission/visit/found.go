package visit

import (
	"context"
	"errors"
	"strconv"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// cannotKnow leaves a step out at which nothing can be found.
const cannotKnow = "cannot be known"

// found asks for what the site file does not say of a part: how it was found, then each value.
// One that cannot be known is left empty; each that was found is on disk at once.
func (v *Visit) found(ctx context.Context, s *record.Outcome) error {
	err := v.find(ctx, s)
	if errors.Is(err, errRedo) && len(s.Found())+len(s.Readings()) > 0 {
		if err := v.add(record.Reopened{Step: s.Step().ID}); err != nil {
			return err
		}
		return errBack
	}
	return err
}

func (v *Visit) find(ctx context.Context, s *record.Outcome) error {
	options := []ask.Option{leaveOption}
	for _, how := range record.Hows {
		options = append(options, ask.Option{Word: string(how), Label: how})
	}
	options = append(options, ask.Option{Word: cannotKnow, Label: ask.CannotKnowChoice})
	keys := seen(v, func(r *record.Record) []string { return r.ToFind(s) })
	how, err := v.keep(ctx, s, ask.Question{ID: s.Step().ID, What: ask.FoundHow{Step: v.name(s), Keys: keys},
		Takes: ask.OneOf{Options: options}})
	switch {
	case err != nil:
		return err
	case how == leaveOption.Word:
		return errLeave
	case how == cannotKnow:
		return v.leaveOut(ctx, s)
	}
	if seen(v, func(r *record.Record) bool { return r.LoopOpen(s) }) {
		if err := v.restingLoop(ctx, s); err != nil || s.Concluded() {
			return err
		}
	}
	for !s.Concluded() {
		keys := seen(v, func(r *record.Record) []string { return r.ToFind(s) })
		if len(keys) == 0 {
			return nil
		}
		text, err := v.foundValue(ctx, s, keys[0])
		if err != nil {
			return err
		}
		if err := v.add(record.Found{Step: s.Step().ID, Key: keys[0], Text: text, By: record.How(how)}); err != nil {
			return err
		}
	}
	return nil
}

// restingLoop reads a circuit of which nobody knows how it is wired. Where that cannot be, the
// step is left out with a reason.
func (v *Visit) restingLoop(ctx context.Context, s *record.Outcome) error {
	answer, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/ohms", What: ask.RestingLoop{Step: v.name(s)},
		Takes:     ask.Quantity{In: checks.Resistance, Instead: ask.OpenLoop, Unit: checks.Resistance.SI},
		Plausible: &ask.PlausibleLoop, Optional: true})
	if err != nil {
		return err
	}
	if answer.Text == "" {
		return v.leaveOut(ctx, s)
	}
	fact, err := loopOf(s, answer)
	if err != nil {
		return err
	}
	return v.add(fact)
}

// loopOf is an answer as the reading of a loop.
func loopOf(s *record.Outcome, answer ask.Answer) (record.Reading, error) {
	fact := record.Reading{Step: s.Step().ID, Quantity: record.LoopReading, Unit: checks.Resistance.SI,
		AsTyped: answer.Text, Open: answer.Text == string(ask.OpenLoop), Confirmed: answer.Confirmed}
	if fact.Open {
		return fact, nil
	}
	q, err := checks.Resistance.Parse(answer.Text) // an answer that was let pass, if it fails
	fact.Value = q.SI
	return fact, err
}

// foundValue asks for the value of a key, "" where it cannot be known.
func (v *Visit) foundValue(ctx context.Context, s *record.Outcome, key string) (string, error) {
	q := ask.Question{ID: s.Step().ID + "/" + nameOfKey(key), What: ask.FoundValue{Step: v.name(s), Key: key},
		Help: ask.FoundAdvice, Optional: true}
	row := site.Keys().At(key)
	switch {
	case key == "supply.adapter.rating":
		return v.rating(ctx, s, q)
	case key == "supply.battery.cells":
		var numbers []string
		for n := int(row.Low); n <= int(row.Up); n++ {
			numbers = append(numbers, strconv.Itoa(n))
		}
		q.Takes = ask.Names{Of: numbers}
	case key == "supply.battery.fitted":
		q.Takes = ask.Date{To: seen(v, (*record.Record).FirstDay)}
	case row.Name() == "conductor":
		q.Takes = ask.Conductor{}
	case row.Name() == "own_battery":
		return v.oneWord(ctx, q, ask.Option{Word: ask.Yes, Label: ask.YesChoice}, ask.Option{Word: ask.No, Label: ask.NoChoice})
	case row.Name() == "wiring":
		var options []ask.Option
		for _, w := range site.Wirings {
			if site.Wiring(w) != site.WiringUnknown {
				options = append(options, ask.Option{Word: w, Label: programme.WiringName(w)})
			}
		}
		return v.oneWord(ctx, q, options...)
	default:
		q.Takes = ask.Quantity{In: row.In, NotNegative: true}
	}
	return v.ask(ctx, q)
}

// notKnownWord says that none of several words can be said to be right.
const notKnownWord = "not known"

func (v *Visit) oneWord(ctx context.Context, q ask.Question, options ...ask.Option) (string, error) {
	q.Optional, q.Help = false, nil
	q.Takes = ask.OneOf{Options: append([]ask.Option{{Word: notKnownWord, Label: ask.NotKnownChoice}}, options...)}
	text, err := v.ask(ctx, q)
	if text == notKnownWord {
		text = ""
	}
	return text, err
}

// rating asks what an adapter gives: direct current, or alternating current that the controller
// rectifies.
func (v *Visit) rating(ctx context.Context, s *record.Outcome, q ask.Question) (string, error) {
	kind := ask.Question{ID: s.Step().ID + "/rating-in", What: ask.RatingIn{Step: v.name(s)}}
	word, err := v.oneWord(ctx, kind, ask.Option{Word: "direct", Label: ask.DirectChoice},
		ask.Option{Word: "alternating", Label: ask.AlternatingChoice})
	if err != nil || word == "" {
		return "", err
	}
	if q.Takes = (ask.Quantity{In: checks.Current, NotNegative: true}); word == "alternating" {
		q.Takes = ask.Quantity{In: checks.Apparent, NotNegative: true}
	}
	return v.ask(ctx, q)
}

func nameOfKey(key string) string { return site.Keys().At(key).Name() }
