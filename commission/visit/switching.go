package visit

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const (
	// longestSound is how long an output stays on if nobody switches it off; longestLoad
	// where several readings are taken under alarm load, one of them at a detector.
	longestSound = 60 * time.Second
	longestLoad  = 3 * time.Minute
	// switchLimit bounds one command to the controller.
	switchLimit = 3 * time.Second
	// patience is how long switching off is tried again and again: a broker that
	// was lost may come back. On the way out of the program it is shorter.
	patience        = 2 * time.Minute
	patienceLeaving = 15 * time.Second
	pauseOfTries    = time.Second
)

// byController tells whether the controller can switch an output.
func (v *Visit) byController(o *site.Output) (signal.Switch, bool) {
	s, ok := v.source.(signal.Switch)
	return s, ok && s.CanEnergise(o)
}

// switchOn energises an output; the journal knows before the controller does,
// so that a killed program leaves word of it. The returned function switches it
// off again; until then a timer would, after most at the longest.
func (v *Visit) switchOn(ctx context.Context, o *site.Output, most time.Duration) (off func() error, err error) {
	s, can := v.byController(o)
	if !can {
		return v.switchOnByHand(ctx, o)
	}
	if err := v.add(record.Energised{Output: o.Name, On: true, By: record.SwitchedByController}); err != nil {
		return nil, err
	}
	stop := v.clock.AfterFunc(most, func() {
		defer v.recovered("switching off")
		if err := v.switchOff(ctx, o, patience); err != nil {
			v.end(err)
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
	return off, nil
}

// thenOff switches off after what was done while outputs were on. Where that fails, or is
// broken off, it goes before the way that the technician has chosen.
func thenOff(err error, off func() error) error {
	failed := off()
	if failed != nil && (errors.Is(err, errBack) || errors.Is(err, errRedo) || errors.Is(err, errNotLoaded)) {
		return failed
	}
	return errors.Join(err, failed)
}

// switchOnAll energises several outputs, those that are switched by hand first, so that
// nobody waits for them while the others sound. What is on is switched off again where
// one of them cannot be.
func (v *Visit) switchOnAll(
	ctx context.Context,
	outputs []*site.Output,
	most time.Duration,
) (off func() error, err error) {
	var offs []func() error
	off = func() error {
		var errs []error
		for _, one := range slices.Backward(offs) {
			errs = append(errs, guarded(one))
		}
		return errors.Join(errs...)
	}
	for _, byHand := range []bool{true, false} {
		for _, o := range outputs {
			if _, can := v.byController(o); can == byHand {
				continue
			}
			one, err := v.switchOn(ctx, o, most)
			if err != nil {
				return nil, thenOff(err, off)
			}
			offs = append(offs, one)
		}
	}
	return off, nil
}

func (v *Visit) switchOnByHand(ctx context.Context, o *site.Output) (func() error, error) {
	yes, err := v.yes(
		ctx,
		ask.Question{
			ID:    "energise/" + o.Name + "/by-hand",
			What:  ask.SwitchedOnByHand{Output: o.Name},
			Takes: ask.YesNo{},
			Back:  true,
		},
	)
	if err == nil && !yes {
		err = errBack
	}
	if err != nil {
		return nil, err
	}
	return func() error { return v.switchOffByHand(ctx, o) }, v.add(
		record.Energised{Output: o.Name, On: true, By: record.SwitchedByHand},
	)
}

func (v *Visit) switchOffByHand(ctx context.Context, o *site.Output) error {
	if !v.isOn(o.Name) {
		return nil
	}
	v.operator.Tell(ask.SwitchOff{Output: o.Name})
	yes, err := v.yes(
		ctx,
		ask.Question{
			ID:    "energise/" + o.Name + "/off-by-hand",
			What:  ask.SwitchedOffByHand{Output: o.Name},
			Takes: ask.YesNo{},
		},
	)
	if err != nil {
		return err
	}
	if !yes {
		v.operator.Tell(ask.StillOn{Output: o.Name})
		return nil
	}
	return v.add(record.Energised{Output: o.Name, On: false, By: record.SwitchedByHand})
}

func (v *Visit) isOn(name string) bool {
	return seen(v, func(r *record.Record) bool { return r.IsOn(name) })
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
	for began := v.clock.Now(); ; {
		limited, cancel := context.WithTimeout(context.Background(), switchLimit)
		err := s.Energise(limited, o, false)
		cancel()
		if err == nil {
			break
		}
		if !told {
			// Written for the certificate; a journal that fails is met below.
			_ = v.add(record.Energised{Output: o.Name, On: true, By: record.SwitchedByController, Failed: bounded(err.Error(), longestRaw)})
			v.operator.Tell(ask.NotSwitchedOff{Output: o.Name, Why: err})
			told = true
		}
		if v.clock.Now().Sub(began) > patience || ctx.Err() != nil {
			return fmt.Errorf("switch %s off: %w", o.Name, err)
		}
		clock.Sleep(v.clock, pauseOfTries)
	}
	if told {
		v.operator.Tell(ask.SwitchedOff{Output: o.Name})
	}
	return v.add(record.Energised{Output: o.Name, On: false, By: record.SwitchedByController})
}

// switchAllOff leaves nothing sounding behind, even after a failed write.
func (v *Visit) switchAllOff() error {
	on := seen(v, func(r *record.Record) (on []*site.Output) {
		for _, name := range r.Energised() {
			if o := r.Site().Output(name); o != nil {
				on = append(on, o)
			}
		}
		return on
	})
	var errs []error
	for _, o := range on {
		if _, can := v.byController(o); can {
			errs = append(errs, v.switchOff(context.Background(), o, patienceLeaving))
			continue
		}
		v.operator.Tell(ask.MakeSureOff{Output: o.Name})
		errs = append(errs, v.add(record.Energised{Output: o.Name, On: false, By: record.SwitchedByHand}))
	}
	return errors.Join(errs...)
}

const energiseOption = "energise"

var notMeasuredOption = ask.Option{Word: "not measured", Label: ask.NotMeasuredChoice}

// mayEnergise asks whether outputs are to be energised for a step, with the
// caution that belongs to it. It returns nil with the step concluded when it is
// left out, and errBack when the answer to the caution is no. They are on for most at
// the longest.
func (v *Visit) mayEnergise(
	ctx context.Context,
	s *record.Outcome,
	outputs []*site.Output,
	most time.Duration,
	what, help ask.Phrase,
) error {
	instead := notTestedOption
	if s.Step().Optional {
		instead = notMeasuredOption
	}
	answer, err := v.choose(ctx, ask.Question{ID: s.Step().ID, What: what, Help: help, Optional: s.Step().Optional},
		ask.Option{Word: energiseOption, Label: ask.EnergiseChoice{Outputs: namesOf(outputs)}}, instead)
	switch {
	case err != nil:
		return err
	case answer.Text == notTestedOption.Word:
		return v.leaveOut(ctx, s, v.belongingTo(s)...)
	case answer.Text != energiseOption:
		return v.leaveUnmeasured(s)
	}
	return v.confirmLoud(ctx, s.Step().ID, outputs, ask.OffSoon{Most: most})
}

func namesOf(outputs []*site.Output) []string {
	var names []string
	for _, o := range outputs {
		names = append(names, o.Name)
	}
	return names
}

// confirmLoud shows the caution and asks for a plain yes before sounders are energised.
// No means not now.
func (v *Visit) confirmLoud(ctx context.Context, id string, outputs []*site.Output, help ask.Phrase) error {
	loud := slices.DeleteFunc(slices.Clone(outputs), func(o *site.Output) bool { return o.Kind != site.Sounder })
	if len(loud) == 0 {
		return nil
	}
	v.operator.Tell(ask.LoudCaution{})
	if slices.ContainsFunc(loud, func(o *site.Output) bool { _, can := v.byController(o); return !can }) {
		help = ask.ByHandAdvice
	}
	yes, err := v.yes(
		ctx,
		ask.Question{
			ID:    id + "/energise",
			What:  ask.Protected{Outputs: namesOf(loud)},
			Help:  help,
			Takes: ask.YesNo{Danger: true},
			Back:  true,
		},
	)
	if err == nil && !yes {
		return errBack
	}
	return err
}
