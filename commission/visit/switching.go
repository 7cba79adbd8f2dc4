package visit

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const (
	// longestSound is how long an output stays on if nobody switches it off, and nothing but
	// itself is tried; record.LongestLoad where several readings are taken under alarm load.
	longestSound = 60 * time.Second
	// switchLimit bounds one command to the controller.
	switchLimit = 3 * time.Second
	// patience is how long switching off is tried again and again: a broker that
	// was lost may come back. On the way out of the program it is shorter.
	patience     = 2 * time.Minute
	pauseOfTries = time.Second
	// mostRefusals is how often in a row a controller may refuse to switch an output on until the visit ends.
	mostRefusals = 5
)

// byController tells whether the controller can switch an output.
func (v *Visit) byController(o *site.Output) (signal.Switch, bool) {
	s, ok := v.source.(signal.Switch)
	return s, ok && s.CanEnergise(o)
}

// switchOn energises an output. The returned function switches it off again, but on the
// way out only what is switched by hand: the rest is leave's; until then a timer would,
// after most at the longest.
func (v *Visit) switchOn(ctx context.Context, o *site.Output, most time.Duration) (
	off func(wayOut bool) error, err error,
) {
	return v.switchOnAll(ctx, []*site.Output{o}, most)
}

// switchOne energises one output that is guarded, or need not be. The journal knows
// before the controller does, so that a killed program leaves word of it.
func (v *Visit) switchOne(ctx context.Context, o *site.Output, most time.Duration) (
	off func(wayOut bool) error, err error,
) {
	s, can := v.byController(o)
	if !can {
		return v.switchOnByHand(ctx, o)
	}
	turn := v.guards.turn(o.Name)
	turn.Lock()
	defer turn.Unlock()
	if why := v.guards.gone(o.Name); why != nil {
		v.operator.Tell(ask.NobodyGuards{Output: o.Name, Why: why})
		return nil, errBack // the step begins again, with another guard
	}
	if err := v.add(record.Energised{Output: o.Name, On: true, By: record.SwitchedByController}); err != nil {
		return nil, err
	}
	v.guards.begin(o.Name)
	stop := v.clock.AfterFunc(most, func() {
		defer v.recovered("switching off")
		if err := v.switchOff(ctx, o, patience, record.OffTimeUp); err != nil {
			v.end(err)
		}
	})
	off = func(wayOut bool) error {
		stop()
		if wayOut {
			return nil
		}
		return v.switchOff(ctx, o, patience, "")
	}
	commanding := ctx
	if !v.guards.stand(o.Name) {
		// Where the end is asked for meanwhile, the command off must not overtake it: nobody else switches off.
		commanding = context.WithoutCancel(ctx)
	}
	limited, cancel := context.WithTimeout(commanding, switchLimit)
	defer cancel()
	err = s.Energise(limited, o, true)
	var never signal.NotCarriedOutError
	switch {
	case err == nil:
		v.guards.takes(o.Name)
		return off, nil
	case errors.As(err, &never):
		stop()
		return nil, v.notSwitchedOn(ctx, s, o, err)
	}
	v.guards.unanswered(o.Name) // it may be carried out still
	return nil, errors.Join(fmt.Errorf("switch %s on: %w", o.Name, err), off(true))
}

// notSwitchedOn goes back to the question after a command on that was not carried out, or ends the visit where that
// happens again and again. A controller may refuse to switch on what is on: it is told off once, and where that is
// not answered nobody knows whether it is.
func (v *Visit) notSwitchedOn(ctx context.Context, s signal.Switch, o *site.Output, why error) error {
	limited, cancel := context.WithTimeout(ctx, switchLimit)
	defer cancel()
	var never signal.NotCarriedOutError
	if err := s.Energise(limited, o, false); err != nil && !errors.As(err, &never) {
		v.guards.unanswered(o.Name)
		return errors.Join(fmt.Errorf("switch %s on: %w", o.Name, why), fmt.Errorf("switch %s off: %w", o.Name, err))
	}
	if err := v.nowOff(o, record.OffRefused); err != nil {
		return err
	}
	if v.guards.refuses(o.Name) >= mostRefusals {
		return fmt.Errorf("switch %s on: %w", o.Name, why)
	}
	v.operator.Tell(ask.NotSwitchedOn{Output: o.Name, Why: why})
	return errBack
}

// wayOut tells whether the visit ends by an error, and does not only go another way.
func wayOut(err error) bool {
	for _, detour := range []error{errBack, errRedo, errNotLoaded, errLeave, errJump, errAgain} {
		if errors.Is(err, detour) {
			return false
		}
	}
	return err != nil
}

// thenOff switches off after what was done while outputs were on. Where that fails, or is
// broken off, it goes before the way that the technician has chosen.
func thenOff(err error, off func(wayOut bool) error) error {
	failed := off(wayOut(err))
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
) (off func(wayOut bool) error, err error) {
	if err := v.guardAll(ctx, outputs); err != nil {
		return nil, err
	}
	offs := map[*site.Output]func(bool) error{}
	off = func(wayOut bool) error {
		var on []*site.Output
		for _, o := range slices.Backward(outputs) {
			if offs[o] != nil {
				on = append(on, o)
			}
		}
		ours, byHand := v.apart(on)
		errs := []error{sideBySide(ours, func(o *site.Output) error { return offs[o](wayOut) })}
		for _, o := range byHand {
			errs = append(errs, guarded(func() error { return offs[o](wayOut) }))
		}
		for _, o := range outputs {
			if !v.isOn(o.Name) {
				v.guards.take(o.Name)() // it was never energised
			}
		}
		return errors.Join(errs...)
	}
	for _, byHand := range []bool{true, false} {
		for _, o := range outputs {
			if _, can := v.byController(o); can == byHand {
				continue
			}
			one, err := v.switchOne(ctx, o, most)
			if err != nil {
				return nil, thenOff(err, off)
			}
			offs[o] = one
		}
	}
	return off, nil
}

func (v *Visit) switchOnByHand(ctx context.Context, o *site.Output) (func(bool) error, error) {
	v.operator.Tell(ask.ByHandOnly{Output: o.Name})
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
	return func(bool) error { return v.switchOffByHand(ctx, o) }, v.add(
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

// switchOff de-energises an output through the controller, trying again while that fails
// and the context lasts; after that it is for leave to do.
// why is that it was not answered for yet, "" for any other.
func (v *Visit) switchOff(ctx context.Context, o *site.Output, patience time.Duration, why record.OffBecause) error {
	s, can := v.byController(o)
	if !can {
		return nil
	}
	turn := v.guards.turn(o.Name)
	turn.Lock()
	defer turn.Unlock()
	if !v.isOn(o.Name) {
		return nil
	}
	told := false
	err := v.tryOff(ctx, s, o, switchLimit, patience, func(err error) {
		v.toldStuck(o, err)
		told = true
	})
	if err != nil {
		return fmt.Errorf("switch %s off: %w", o.Name, err)
	}
	if told {
		v.operator.Tell(ask.SwitchedOff{Output: o.Name})
	}
	return v.nowOff(o, why)
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
	if v.phoneHolds() {
		v.operator.Tell(ask.PhoneHolds{Within: phoneSilent})
	}
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
