package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
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
func (v *Visit) byController(o *site.Output) (signal.Switch, bool) {
	s, ok := v.source.(signal.Switch)
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
	if err := v.add(record.Energised{Output: o.Name, On: true, By: "controller"}); err != nil {
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
		yes, err := v.yes(ctx, ask.Question{ID: "energise/" + o.Name + "/off-by-hand", Text: "Is " + o.Name + " switched off?"})
		if err != nil {
			return err
		}
		if !yes {
			v.operator.Tell("   " + o.Name + " IS STILL ON. Switch it off at the controller, or disconnect it.")
			return nil
		}
		return v.add(record.Energised{Output: o.Name, On: false, By: "hand"})
	}
	yes, err := v.yes(ctx, ask.Question{ID: "energise/" + o.Name + "/by-hand", Text: "Switch " + o.Name + " on by hand at the controller. Is it switched on?", Help: "Type yes once it is; no goes back."})
	if err == nil && !yes {
		err = errBack
	}
	if err != nil {
		return nil, err
	}
	return off, v.add(record.Energised{Output: o.Name, On: true, By: "hand"})
}

func (v *Visit) isOn(name string) bool {
	on := false
	_ = v.look(func(r *record.Record) { on = r.IsOn(name) }) // switching off must be tried all the same
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
			// Written for the certificate; a journal that fails is met below.
			_ = v.add(record.Energised{Output: o.Name, On: true, By: "controller", Failed: err.Error()})
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
	return v.add(record.Energised{Output: o.Name, On: false, By: "controller"})
}

// switchAllOff leaves nothing sounding behind.
func (v *Visit) switchAllOff() error {
	var on []*site.Output
	_ = v.look(func(r *record.Record) { // even after a failed write
		for _, name := range r.Energised() {
			if o := r.Site().Output(name); o != nil {
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
		errs = append(errs, v.add(record.Energised{Output: o.Name, On: false, By: "hand"}))
	}
	return errors.Join(errs...)
}

// mayEnergise asks whether an output is to be energised for a step, with the
// caution that belongs to it. It returns nil with the step concluded when it is
// left out, and errBack when the answer to the caution is no.
func (v *Visit) mayEnergise(ctx context.Context, s *record.Outcome, o *site.Output, text, help string) error {
	word, err := v.choose(ctx, s.Step().ID, text, help,
		ask.Option{Word: "energise", Label: "energise " + o.Name},
		ask.Option{Word: string(record.LeftOut), Label: "not tested, with a reason"})
	if err != nil {
		return err
	}
	if word == string(record.LeftOut) {
		return v.leaveOut(ctx, s)
	}
	return v.confirmLoud(ctx, s.Step().ID, o)
}

// confirmLoud shows the caution and asks for the word yes before a sounder is
// energised. No means not now.
func (v *Visit) confirmLoud(ctx context.Context, id string, o *site.Output) error {
	if o.Kind != site.Sounder {
		return nil
	}
	v.operator.Tell("", "CAUTION  "+words.English{}.Say(judge.CautionSounder))
	help := "It is switched off again when you have answered the next question, and after a minute at the latest; no goes back."
	if _, can := v.byController(o); !can {
		help = "You switch it on and off by hand: the program cannot. No goes back."
	}
	yes, err := v.yes(ctx, ask.Question{ID: id + "/energise", Text: "Hearing protection on, nobody near " + o.Name + "? Type yes to energise it", Danger: true, Help: help})
	if err == nil && !yes {
		return errBack
	}
	return err
}
