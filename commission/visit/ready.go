package visit

import (
	"context"
	"errors"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// ready waits until the technician stands at the detector, and tells how they said so.
// A zone that reports active is told while it lasts; the cue is given all the same when
// it is asked for again, since inverted wiring looks like that.
func (v *Visit) ready(ctx context.Context, s *record.Outcome) (ask.Pressed, error) {
	warned := false
	if v.walking.IsZero() && s.Step().Kind == programme.StepDetector {
		v.walking = v.clock.Now()
	}
	for {
		spec, err := v.readyWatch(s)
		if err != nil {
			return ask.Pressed{}, err
		}
		pressed, err := v.watchSaying(ctx, spec, v.tellingState(s))
		if err != nil {
			return ask.Pressed{}, err
		}
		if pressed.Key == ask.Count {
			if pressed, err = v.count(ctx, s); err != nil {
				return ask.Pressed{}, err
			}
		}
		if pressed.Key != ask.Ready {
			if err := v.beforeCue(ctx, s, pressed); err != nil || s.Concluded() {
				return ask.Pressed{}, err
			}
			continue
		}
		_, heard := v.heardBefore(s, pressed)
		switch {
		case heard != "":
			return pressed, nil
		case !v.hears(s):
			v.operator.Tell(ask.NoCue{})
		case v.stateOf(s, v.pressedAt(pressed)) == signal.Active && !warned:
			v.operator.Tell(ask.StillActive{})
			warned = true
		default:
			return pressed, nil
		}
	}
}

// pressedAt is when a key was pressed, zero for now.
func (v *Visit) pressedAt(p ask.Pressed) time.Time {
	if p.Tap == nil {
		return p.At
	}
	at, _, why := v.touch(p, v.clock.Now())
	if why != "" {
		return time.Time{}
	}
	return at
}

// beforeCue does what the technician wants instead of a cue.
func (v *Visit) beforeCue(ctx context.Context, s *record.Outcome, pressed ask.Pressed) error {
	var err error
	switch pressed.Key {
	case ask.Skip:
		err = v.leaveOut(ctx, s)
	case ask.Leave:
		return errLeave
	case ask.Jump:
		err = v.jump(ctx, s, pressed.To)
	case ask.Roam:
		return v.roam(ctx, s)
	case ask.Ohms:
		return v.loopReading(ctx, s)
	case ask.Look:
		err = v.looksAt(ctx, s.Step().Point)
	case ask.Redo:
		if seen(v, (*record.Record).LatestTaken) == s {
			return v.loopReading(ctx, s)
		}
		return errRedo
	case ask.Note:
		return v.note(ctx, s)
	}
	if errors.Is(err, errBack) {
		return nil
	}
	return err
}

// loopReading takes what an ohmmeter shows of the detector's loop at rest, and tells what
// it means.
func (v *Visit) loopReading(ctx context.Context, s *record.Outcome) error {
	answer, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/ohms", What: ask.LoopMatter,
		Takes:     ask.Quantity{In: checks.Resistance, Instead: ask.OpenLoop, Unit: checks.Resistance.SI},
		Plausible: &ask.PlausibleLoop, Optional: true, Back: true})
	if err != nil || answer.Text == "" {
		return err
	}
	fact, err := loopOf(s, answer)
	if err != nil {
		return err
	}
	if err := v.add(fact); err != nil {
		return err
	}
	v.tellLoop(s, fact)
	return nil
}

// stateOf is what was known of a detector's zone at an instant; a zero one stands for
// now.
func (v *Visit) stateOf(s *record.Outcome, at time.Time) signal.State {
	return seen(v, func(r *record.Record) signal.State {
		z := r.Site().Zone(s.Step().Zone)
		switch {
		case z == nil:
			return signal.Unknown
		case at.IsZero():
			return r.StateOf(z.Address)
		}
		return r.StateThen(v.journal.Elapsed(at), z.Address)
	})
}

// tellingState is a wait that only a key ends, and that tells each change of the
// detector's zone meanwhile.
func (v *Visit) tellingState(s *record.Outcome) saying {
	told, first, garbled := signal.Unknown, true, ""
	return func(w ask.Watching, r *record.Record, _ time.Time) (time.Time, ask.Phrase, bool) {
		z := r.Site().Zone(s.Step().Zone)
		if z == nil {
			return time.Time{}, nil, false
		}
		if now := r.StateOf(z.Address); now != told || first {
			if !first || now == signal.Active {
				w.Say(ask.ZoneReports{Zone: z.Number, State: now})
			}
			told, first = now, false
		}
		if raw := r.GarbledNow(z.Address); raw != garbled {
			if garbled = raw; raw != "" {
				w.Say(ask.ZoneGarbled{Zone: z.Number, Raw: raw})
			}
		}
		return time.Time{}, nil, false
	}
}

// hears tells whether a cue makes sense now: whether what answers it can be heard.
func (v *Visit) hears(s *record.Outcome) bool {
	return seen(v, func(r *record.Record) bool { return r.HearsAt(s.Step()) })
}

// readyKeys are the keys before a cue. To operate in another order is offered where zones
// report by themselves.
func (v *Visit) readyKeys(s *record.Outcome) []ask.Key {
	keys := []ask.Key{ask.Ready}
	if s.Step().Kind == programme.StepDetector {
		keys = append(keys, ask.Count)
	}
	if _, byHand := v.source.(signal.KeyTimed); !byHand && s.Step().Stage == programme.StageWalkTest {
		keys = append(keys, ask.Roam)
	}
	if s.Step().Stage == programme.StageWalkTest &&
		seen(v, func(r *record.Record) int { return len(looksOfPoint(r, s.Step().Point)) }) > 0 {
		keys = append(keys, ask.Look)
	}
	return append(keys, ask.Jump, ask.Ohms, ask.Skip, ask.Note, ask.Leave)
}

func (v *Visit) readyWatch(s *record.Outcome) (ask.Watch, error) {
	spec := ask.Watch{ID: s.Step().ID + "/ready", Title: ask.GoTo{Step: v.name(s)}, Unattended: ask.Ready,
		Keys: v.withRedo(v.readyKeys(s)...), Cue: record.Operate, Waits: true}
	err := v.look(func(r *record.Record) {
		z, d, err := r.Site().Find(s.Step().Point)
		if err != nil {
			return
		}
		if s.Step().Stage == programme.StageWalkTest {
			all, open := r.CountDetectors()
			spec.Lines = append(spec.Lines, ask.StepsLeft{All: all, Open: open})
		}
		if d.Location != "" {
			spec.Lines = append(spec.Lines, ask.Where{Location: d.Location})
		}
		spec.Lines = append(spec.Lines, programme.HintOf(z))
		if d.Kind.Trait().Announce {
			spec.Lines = append(spec.Lines, ask.AnnounceAdvice)
		}
		if d.Kind.Trait().LifeSafety {
			spec.Lines = append(spec.Lines, ask.LifeSafetyAdvice)
		}
		if open := openLooks(r, s.Step().Point); len(open) > 0 && s.Step().Stage == programme.StageWalkTest {
			spec.Lines = append(spec.Lines, ask.LooksHere{Lines: open})
		}
	})
	return spec, err
}
