package visit

import (
	"context"
	"errors"
	"fmt"
	"regexp"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// output energises a sounder, strobe or chime and asks what was heard or seen.
func (v *Visit) output(ctx context.Context, s *record.Outcome) error {
	o := v.outputOf(s)
	if v.observedBefore(s) {
		return v.concludeOutput(ctx, s, o, true)
	}
	text := fmt.Sprintf("%s (%s%s)", o.Name, o.Kind, at(o.Location))
	if err := v.mayEnergise(ctx, s, o, text, "It will be energised and switched off again."); err != nil || s.Concluded() {
		return err
	}
	worked, err := v.observe(ctx, s, o)
	if err != nil {
		return err
	}
	return v.concludeOutput(ctx, s, o, worked)
}

// observation is the question under which what was heard or seen is kept.
const observation = "/observed"

// observedBefore tells whether it was heard or seen before a break: it need not
// sound again for the questions that follow.
func (v *Visit) observedBefore(s *record.Outcome) bool {
	worked := false
	_ = v.look(func(r *record.Record) { // a failure is met at the next entry
		text, _ := r.Given(s, s.Step().ID+observation)
		worked = text == string(record.Yes)
	})
	return worked
}

// concludeOutput asks what else belongs to what was observed.
func (v *Visit) concludeOutput(ctx context.Context, s *record.Outcome, o *site.Output, worked bool) error {
	if worked {
		if err := v.outputReadings(ctx, s, o); err != nil {
			return err
		}
		return v.add(record.Answer{Step: s.Step().ID, Result: record.Works})
	}
	note, err := v.needed(ctx, s, "/note", "What was seen or heard instead?", "")
	if err != nil {
		return err
	}
	return v.add(record.Answer{Step: s.Step().ID, Result: record.Fails, Remark: note})
}

// observe energises the output and asks what was heard or seen. The answer is
// written before it is switched off: that may take long when the connection is
// lost.
func (v *Visit) observe(ctx context.Context, s *record.Outcome, o *site.Output) (worked bool, err error) {
	off, err := v.switchOn(ctx, o)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, off()) }()
	seen := "heard"
	if o.Kind == site.Strobe {
		seen = "seen"
	}
	worked, err = v.yes(ctx, ask.Question{ID: s.Step().ID + "/" + seen, Text: fmt.Sprintf("%s is on. Was it %s clearly?", o.Name, seen), Help: "Yes or no; it is switched off when you answer."})
	if err != nil {
		return false, err
	}
	given := record.Given{Step: s.Step().ID, Question: s.Step().ID + observation, Text: string(record.No)}
	if worked {
		given.Text = string(record.Yes)
	}
	return worked, v.add(given)
}

// outputReadings takes what was measured while it was on; each may be left out.
func (v *Visit) outputReadings(ctx context.Context, s *record.Outcome, o *site.Output) error {
	asked := []struct {
		quantity, id, text string
		in                 checks.Dimension
	}{
		{record.CurrentReading, "/current", "Current while it was on, or Enter if not measured", checks.Current},
		{record.CutOffReading, "/cut-off", "Time after which it stopped by itself, or Enter if that was not observed", checks.Time},
	}
	if o.Kind == site.Sounder {
		if err := v.levelReading(ctx, s); err != nil {
			return err
		}
	}
	for _, a := range asked {
		if a.quantity == record.CutOffReading && o.Kind == site.Chime {
			continue
		}
		text, err := v.optional(ctx, s, a.id, a.text, "for example "+a.in.Examples, optionalQuantity(a.in))
		if err != nil {
			return err
		}
		if text == "" {
			continue
		}
		q, _ := a.in.Parse(text) // was checked
		if err := v.add(record.Reading{Step: s.Step().ID, Quantity: a.quantity, Value: q.SI, Unit: a.in.SI, AsTyped: q.Text}); err != nil {
			return err
		}
	}
	return nil
}

// levelReading takes "96 dB at 3 m", with what is known besides.
func (v *Visit) levelReading(ctx context.Context, s *record.Outcome) error {
	text, err := v.optional(ctx, s, "/level", "Sound level and distance, or Enter if not measured", "for example 96 dB at 3 m; or 96 dB at 3 m over 55 dB class 2, with the level when it is off and the class of the meter",
		func(t string) error { _, err := levelAt(t); return err })
	if err != nil || text == "" {
		return err
	}
	fact, err := levelAt(text)
	if err != nil {
		return err // an answer that was let pass
	}
	fact.Step = s.Step().ID
	return v.add(fact)
}

var levelForm = regexp.MustCompile(`^(.+?) at (.+?)(?: over (.+?))?(?: class ([12]))?$`)

func levelAt(text string) (record.Reading, error) {
	fact := record.Reading{Quantity: record.LevelReading, Unit: checks.SoundLevel.SI, AsTyped: text}
	if text == "" {
		return fact, nil
	}
	m := levelForm.FindStringSubmatch(text)
	if m == nil {
		return fact, errors.New("write level and distance, for example 96 dB at 3 m")
	}
	level, err := checks.SoundLevel.Parse(m[1])
	if err != nil {
		return fact, err
	}
	distance, err := checks.Length.Parse(m[2])
	if err == nil && distance.SI <= 0 {
		err = errors.New("the distance must lie above zero")
	}
	if err != nil {
		return fact, err
	}
	if m[3] != "" {
		ambient, err := checks.SoundLevel.Parse(m[3])
		if err != nil {
			return fact, err
		}
		fact.Ambient = ambient.SI
	}
	fact.Value, fact.Distance, fact.MeterClass = level.SI, distance.SI, map[string]int{"1": 1, "2": 2}[m[4]]
	return fact, nil
}

func optionalQuantity(in checks.Dimension) func(string) error {
	return func(text string) error {
		if text == "" {
			return nil
		}
		_, err := in.Parse(text)
		return err
	}
}

func at(location string) string {
	if location == "" {
		return ""
	}
	return ", " + location
}

func (v *Visit) outputOf(s *record.Outcome) *site.Output {
	var o *site.Output
	_ = v.look(func(r *record.Record) { o = r.Site().Output(s.Step().Output) }) // the fold has checked the name
	return o
}
