package visit

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"loopwitness/checks"
	"loopwitness/commission"
	"loopwitness/commission/ask"
	"loopwitness/commission/site"
)

const (
	// longestSound is how long a sounder stays on if nobody switches it off.
	longestSound = 60 * time.Second
	// switchLimit bounds one command to the controller.
	switchLimit = 3 * time.Second
	// patience is how long switching off is tried again and again: a broker that
	// was lost may come back. On the way out of the program it is shorter.
	patience        = 2 * time.Minute
	patienceLeaving = 15 * time.Second
	pauseOfTries    = time.Second
)

// byController tells whether the controller can switch an output.
func (v *Visit) byController(o *site.Output) (Switch, bool) {
	s, ok := v.source.(Switch)
	return s, ok && s.CanEnergise(o)
}

// switchOn energises an output; the journal knows before the controller does,
// so that a killed program leaves word of it. The returned function switches it
// off again; until then a timer would.
func (v *Visit) switchOn(ctx context.Context, o *site.Output) (off func() error, err error) {
	s, can := v.byController(o)
	if !can {
		return v.switchOnByHand(ctx, o)
	}
	if err := v.add(commission.Energised{Output: o.Name, On: true, By: "controller"}); err != nil {
		return nil, err
	}
	stop := v.clock.AfterFunc(longestSound, func() {
		defer v.recovered("switching off")
		if err := v.switchOff(ctx, o, patience); err != nil {
			v.fail(err)
		}
	})
	off = func() error {
		stop()
		return v.switchOff(ctx, o, patience)
	}
	limited, cancel := context.WithTimeout(ctx, switchLimit)
	defer cancel()
	if err := s.Energise(limited, o, true); err != nil {
		return nil, errors.Join(fmt.Errorf("switch %s on: %w", o.Name, err), off())
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Sounding(true)
	}
	return off, nil
}

func (v *Visit) switchOnByHand(ctx context.Context, o *site.Output) (func() error, error) {
	off := func() error {
		if !v.isOn(o.Name) {
			return nil
		}
		v.operator.Tell("   Switch " + o.Name + " OFF now.")
		return v.add(commission.Energised{Output: o.Name, On: false, By: "hand"})
	}
	yes, err := v.yes(ctx, ask.Question{ID: "energise/" + o.Name + "/by-hand", Text: "Switch " + o.Name + " on by hand at the controller. Is it switched on?", Help: "Type yes once it is; no goes back."})
	if err == nil && !yes {
		err = errBack
	}
	if err != nil {
		return nil, err
	}
	return off, v.add(commission.Energised{Output: o.Name, On: true, By: "hand"})
}

func (v *Visit) isOn(name string) bool {
	on := false
	_ = v.look(func(r *commission.Record) { on = r.Energised[name] }) // switching off must be tried all the same
	return on
}

// switchOff de-energises an output through the controller, trying again while
// that fails and the context lasts; each command has a time limit of its own,
// since the context may have ended already.
func (v *Visit) switchOff(ctx context.Context, o *site.Output, patience time.Duration) error {
	s, can := v.byController(o)
	if !can || !v.isOn(o.Name) {
		return nil
	}
	told := false
	for began := time.Now(); ; {
		limited, cancel := context.WithTimeout(context.Background(), switchLimit)
		err := s.Energise(limited, o, false)
		cancel()
		if err == nil {
			break
		}
		if !told {
			v.operator.Tell("   " + o.Name + " COULD NOT BE SWITCHED OFF (" + err.Error() + "). Switch it off by hand; it is tried again until it works.")
			told = true
		}
		if time.Since(began) > patience || ctx.Err() != nil {
			return fmt.Errorf("switch %s off: %w", o.Name, err)
		}
		time.Sleep(pauseOfTries)
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Sounding(false)
	}
	if told {
		v.operator.Tell("   " + o.Name + " is switched off now.")
	}
	return v.add(commission.Energised{Output: o.Name, On: false, By: "controller"})
}

// switchAllOff leaves nothing sounding behind.
func (v *Visit) switchAllOff() error {
	var on []*site.Output
	_ = v.look(func(r *commission.Record) { // even after a failed write
		for name := range r.Energised {
			if o := r.Site.Output(name); o != nil {
				on = append(on, o)
			}
		}
	})
	var errs []error
	for _, o := range on {
		if _, can := v.byController(o); can {
			errs = append(errs, v.switchOff(context.Background(), o, patienceLeaving))
			continue
		}
		v.operator.Tell("   " + o.Name + " was switched on by hand: make sure that it is OFF.")
		errs = append(errs, v.add(commission.Energised{Output: o.Name, On: false, By: "hand"}))
	}
	return errors.Join(errs...)
}

// confirmLoud shows the caution and asks for the word yes before a sounder is
// energised. No means not now.
func (v *Visit) confirmLoud(ctx context.Context, id string, o *site.Output) error {
	if o.Kind != site.Sounder {
		return nil
	}
	v.operator.Tell("", "CAUTION  "+commission.SounderCaution)
	yes, err := v.yes(ctx, ask.Question{ID: id + "/energise", Text: "Hearing protection on, nobody near " + o.Name + "? Type yes to energise it", Danger: true,
		Help: "It is switched off again when you have answered the next question, and after a minute at the latest; no goes back."})
	if err == nil && !yes {
		return errBack
	}
	return err
}

// output energises a sounder, strobe or chime and asks what was heard or seen.
func (v *Visit) output(ctx context.Context, s *commission.StepRecord) error {
	o := v.outputOf(s)
	if result, observed := v.observedBefore(s); observed {
		return v.concludeOutput(ctx, s, o, result)
	}
	word, err := v.choose(ctx, s.ID, fmt.Sprintf("%s (%s%s)", o.Name, o.Kind, at(o.Location)), "It will be energised and switched off again.",
		ask.Option{Word: "energise", Label: "energise it"},
		ask.Option{Word: string(commission.LeftOut), Label: "not tested, with a reason"})
	if err != nil {
		return err
	}
	if word == string(commission.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	if err := v.confirmLoud(ctx, s.ID, o); err != nil {
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

// observedBefore is what was heard or seen before a break: it need not sound
// again for the questions that follow.
func (v *Visit) observedBefore(s *commission.StepRecord) (worked, observed bool) {
	_ = v.look(func(r *commission.Record) { // a failure is met at the next entry
		var text string
		text, observed = r.Given(s, s.ID+observation)
		worked = text == string(commission.Yes)
	})
	return worked, observed
}

// concludeOutput keeps what was observed, then asks what else belongs to it.
func (v *Visit) concludeOutput(ctx context.Context, s *commission.StepRecord, o *site.Output, worked bool) error {
	given := commission.Given{Step: s.ID, Question: s.ID + observation, Text: string(commission.No)}
	if worked {
		given.Text = string(commission.Yes)
	}
	if err := v.add(given); err != nil {
		return err
	}
	if worked {
		if err := v.outputReadings(ctx, s, o); err != nil {
			return err
		}
		return v.add(commission.Answer{Step: s.ID, Result: commission.Works})
	}
	note, err := v.needed(ctx, s, "/note", "What was seen or heard instead?", "")
	if err != nil {
		return err
	}
	return v.add(commission.Answer{Step: s.ID, Result: commission.Fails, Remark: note})
}

func (v *Visit) observe(ctx context.Context, s *commission.StepRecord, o *site.Output) (worked bool, err error) {
	off, err := v.switchOn(ctx, o)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, off()) }()
	seen := "heard"
	if o.Kind == site.Strobe {
		seen = "seen"
	}
	return v.yes(ctx, ask.Question{ID: s.ID + "/" + seen, Text: fmt.Sprintf("%s is on. Was it %s clearly?", o.Name, seen), Help: "Yes or no; it is switched off when you answer."})
}

// outputReadings takes what was measured while it was on; each may be left out.
func (v *Visit) outputReadings(ctx context.Context, s *commission.StepRecord, o *site.Output) error {
	asked := []struct {
		quantity, id, text string
		in                 checks.Dimension
	}{
		{commission.CurrentReading, "/current", "Current while it was on, or Enter if not measured", checks.Current},
		{commission.CutOffReading, "/cut-off", "Time after which it stopped by itself, or Enter if that was not observed", checks.Time},
	}
	if o.Kind == site.Sounder {
		if err := v.levelReading(ctx, s); err != nil {
			return err
		}
	}
	for _, a := range asked {
		if a.quantity == commission.CutOffReading && o.Kind == site.Chime {
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
		if err := v.add(commission.Reading{Step: s.ID, Quantity: a.quantity, Value: q.SI, Unit: a.in.SI, AsTyped: q.Text}); err != nil {
			return err
		}
	}
	return nil
}

// levelReading takes "96 dB at 3 m".
func (v *Visit) levelReading(ctx context.Context, s *commission.StepRecord) error {
	text, err := v.optional(ctx, s, "/level", "Sound level and distance, or Enter if not measured", "for example 96 dB at 3 m",
		func(t string) error { _, _, err := levelAt(t); return err })
	if err != nil || text == "" {
		return err
	}
	level, distance, _ := levelAt(text) // was checked
	return v.add(commission.Reading{Step: s.ID, Quantity: commission.LevelReading, Value: level.SI, Unit: checks.SoundLevel.SI, AsTyped: text, Distance: distance.SI})
}

func levelAt(text string) (level, distance checks.Quantity, err error) {
	if text == "" {
		return level, distance, nil
	}
	first, second, ok := strings.Cut(text, " at ")
	if !ok {
		return level, distance, errors.New("write level and distance, for example 96 dB at 3 m")
	}
	if level, err = checks.SoundLevel.Parse(first); err != nil {
		return level, distance, err
	}
	distance, err = checks.Length.Parse(second)
	return level, distance, err
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

func (v *Visit) outputOf(s *commission.StepRecord) *site.Output {
	var o *site.Output
	_ = v.look(func(r *commission.Record) { o = r.Site.Output(s.Output) }) // the fold has checked the name
	return o
}

// chime opens a followed zone and waits until the chime is heard.
func (v *Visit) chime(ctx context.Context, s *commission.StepRecord) error {
	for {
		if err := v.ready(ctx, s); err != nil || s.Concluded() {
			return err
		}
		end, heard, err := v.chimeTrial(ctx, s)
		switch {
		case errors.Is(err, errAgain):
			continue
		case err != nil || s.Concluded():
			if err == nil && end == commission.ByHeard {
				v.operator.Tell(fmt.Sprintf("   %s heard %.1f s after the cue. Bring the zone to rest again.", s.Output, heard.Seconds()))
			}
			return err
		}
		word, err := v.choose(ctx, s.ID+"/not-heard", v.title(s)+" was not heard", "Repeat it, or leave it as it is: it will be a finding.",
			ask.Option{Word: "again", Label: "try again"},
			ask.Option{Word: string(commission.AsItIs), Label: "leave it as it is"})
		if err != nil {
			return err
		}
		if word != "again" {
			return v.add(commission.Answer{Step: s.ID, Result: commission.AsItIs})
		}
	}
}

func (v *Visit) chimeTrial(ctx context.Context, s *commission.StepRecord) (commission.End, time.Duration, error) {
	trial, cueAt, err := v.cue(s, commission.Operate)
	if err != nil {
		return "", 0, err
	}
	if bench, ok := v.source.(Bench); ok {
		bench.Act(s.Point, commission.Operate)
	}
	trait := trial.Zone.Kind.Trait()
	key, err := v.watch(ctx, ask.Watch{ID: s.ID + "/heard", Alert: true, Title: "NOW " + trait.Operate + ", and listen for " + s.Output,
		Lines: []string{v.title(s)},
		Keys:  []ask.Key{keyHeard, keySilent, keyAgain, keySkip, keyLeave}},
		func(r *commission.Record, now time.Time) (time.Time, string, bool) {
			t, _ := r.Trial()
			return cueAt.Add(trial.Rules.ListenFor), fmt.Sprintf("%5.1f s  of %.0f s", now.Sub(cueAt).Seconds(), trial.Rules.ListenFor.Seconds()), t != trial
		})
	heard := v.clock.Now().Sub(cueAt)
	if bench, ok := v.source.(Bench); ok {
		bench.Act(s.Point, commission.Restore)
	}
	if err != nil {
		return "", 0, errors.Join(err, v.endTrial(s, commission.ByPause))
	}
	end, known := endOfKey[key]
	if !known {
		if end, err = v.endByItself(trial); err != nil {
			return "", 0, err
		}
	}
	if err := v.endTrial(s, end); err != nil {
		return "", 0, err
	}
	switch end {
	case commission.ByAgain, commission.ByLost:
		return end, 0, errAgain
	case commission.ByLeaving:
		return end, 0, errLeave
	case commission.BySkip:
		if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
			return end, 0, err
		}
		return end, 0, errAgain
	}
	return end, heard, nil
}
