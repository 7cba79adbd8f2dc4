package visit

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

// ready waits until the technician stands at the detector. A zone that reports
// active is told while it lasts; the cue is given all the same when it is asked
// for again, since inverted wiring looks like that.
func (v *Visit) ready(ctx context.Context, s *record.Outcome) error {
	warned := false
	for {
		spec, err := v.readyWatch(s)
		if err != nil {
			return err
		}
		key, err := v.watchSaying(ctx, spec, v.tellingState(s))
		switch {
		case err != nil:
			return err
		case key == keyReady.Word && !v.connected():
			v.operator.Tell("   Not connected: no cue is given.")
		case key == keyReady.Word && v.stateOf(s) == signal.Active && !warned:
			v.operator.Tell("   Its zone reports active. Bring it to rest first; if it is at rest, press again: its wiring may be inverted.")
			warned = true
		case key == keyReady.Word:
			return nil
		case key == keySkip.Word:
			if err := v.leaveOut(ctx, s); !errors.Is(err, errBack) {
				return err
			}
		case key == keyLeave.Word:
			return errLeave
		case key == keyJump.Word:
			if err := v.jump(ctx, s); !errors.Is(err, errBack) {
				return err
			}
		case key == keyOhms.Word:
			if err := v.loopReading(ctx, s); err != nil {
				return err
			}
		case key == keyNote.Word:
			if err := v.note(ctx, s); err != nil {
				return err
			}
		}
	}
}

// loopReading takes what an ohmmeter shows of the detector's loop at rest; what
// it means is computed with the certificate.
func (v *Visit) loopReading(ctx context.Context, s *record.Outcome) error {
	const open = "open"
	text, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/ohms", Text: "Resistance of the loop, disconnected from the controller, everything on it at rest", Shape: ask.Text, Optional: true,
		Help: "for example 4.7k or open; Enter alone goes back", Check: func(t string) error {
			if t == "" || t == open {
				return nil
			}
			_, err := checks.Resistance.Parse(t)
			return err
		}})
	if err != nil || text == "" {
		return err
	}
	fact := record.Reading{Step: s.Step().ID, Quantity: record.LoopReading, Unit: checks.Resistance.SI, AsTyped: text, Open: text == open}
	if !fact.Open {
		q, err := checks.Resistance.Parse(text)
		if err != nil {
			return err
		}
		fact.Value = q.SI
	}
	return v.add(fact)
}

// stateOf is the last known state of a detector's zone.
func (v *Visit) stateOf(s *record.Outcome) signal.State {
	var state signal.State
	_ = v.look(func(r *record.Record) { // a failure is met at the next wait
		if z := r.Site().Zone(s.Step().Zone); z != nil {
			state = r.StateOf(z.Address)
		}
	})
	return state
}

// tellingState is a wait that only a key ends, and that tells each change of the
// detector's zone meanwhile.
func (v *Visit) tellingState(s *record.Outcome) func(ask.Watching, *record.Record, time.Time) (time.Time, string, bool) {
	told, garbled := signal.State("none yet"), ""
	return func(w ask.Watching, r *record.Record, _ time.Time) (time.Time, string, bool) {
		z := r.Site().Zone(s.Step().Zone)
		if z == nil {
			return time.Time{}, "", false
		}
		if now := r.StateOf(z.Address); now != told {
			if told != "none yet" || now == signal.Active {
				w.Say(fmt.Sprintf("   zone %d reports %s", z.Number, orUnknown(now)))
			}
			told = now
		}
		if raw := r.Garbled(z.Address); raw != garbled {
			w.Say(fmt.Sprintf("   zone %d reports %s, which controller.yaml does not know", z.Number, raw))
			garbled = raw
		}
		return time.Time{}, "", false
	}
}

func orUnknown(s signal.State) string {
	if s == signal.Unknown {
		return "nothing that is known"
	}
	return string(s)
}

// jump goes to another detector of the stage, also to one that is concluded.
func (v *Visit) jump(ctx context.Context, s *record.Outcome) error {
	ids := map[string]*record.Outcome{}
	if err := v.look(func(r *record.Record) {
		for _, other := range r.Outcomes() {
			if other.Step().Stage == s.Step().Stage && other.Step().Kind == programme.StepDetector {
				ids[string(other.Step().Point)] = other
			}
		}
	}); err != nil {
		return err
	}
	point, err := v.operator.Ask(ctx, ask.Question{ID: s.Step().ID + "/jump", Text: "Go to which detector?", Help: "for example 3.2; Enter alone goes back", Shape: ask.Text, Optional: true,
		Check: func(t string) error {
			if t != "" && ids[t] == nil {
				return fmt.Errorf("this stage has no detector %q", t)
			}
			return nil
		}})
	if err != nil {
		return err
	}
	other := ids[point]
	if other == nil || other == s {
		return errBack
	}
	if other.Concluded() {
		if err := v.add(record.Reopened{Step: other.Step().ID}); err != nil {
			return err
		}
	}
	if err := v.add(record.Entered{Stage: s.Step().Stage, Step: other.Step().ID}); err != nil {
		return err
	}
	return errJump
}

// connected tells whether a cue makes sense now; a failure is met at the next
// step.
func (v *Visit) connected() bool {
	up := false
	_ = v.look(func(r *record.Record) { up = r.Connected() })
	return up
}

func (v *Visit) readyWatch(s *record.Outcome) (ask.Watch, error) {
	spec := ask.Watch{ID: s.Step().ID + "/ready", Unattended: keyReady.Word, Keys: []ask.Key{keyReady, keyJump, keyOhms, keySkip, keyNote, keyLeave}}
	err := v.look(func(r *record.Record) {
		z, d, err := r.Site().Find(s.Step().Point)
		if err != nil {
			return
		}
		spec.Title = "Go to " + words.English{}.Say(programme.NameOf(r.Site(), s.Step()))
		if all, open := r.Count(s.Step().Stage); s.Step().Stage == programme.StageWalkTest {
			spec.Lines = append(spec.Lines, fmt.Sprintf("%d of %d still to do", open, all))
		}
		if d.Location != "" {
			spec.Lines = append(spec.Lines, "where: "+d.Location)
		}
		spec.Lines = append(spec.Lines, words.English{}.Say(programme.HintOf(z)))
		if z.Kind.Trait().Announce {
			spec.Lines = append(spec.Lines, "announce it first: its signal frightens people and may call help")
		}
		if z.Kind.Trait().LifeSafety {
			spec.Lines = append(spec.Lines, "life safety: the fire code decides how it is tested; here only its signal is timed")
		}
	})
	return spec, err
}
