package visit

import (
	"context"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// tick is how often the status line tells the time.
const tick = 100 * time.Millisecond

// until tells when a wait ends by itself (zero: never), how it stands, and whether it
// is over already.
type until func(r *record.Record, now time.Time) (end time.Time, status ask.Phrase, over bool)

// saying is until for a wait during which the technician is told things.
type saying func(w ask.Watching, r *record.Record, now time.Time) (end time.Time, status ask.Phrase, over bool)

func (u saying) in(w ask.Watching) until {
	return func(r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) { return u(w, r, now) }
}

// await is the one place where the visit waits for whatever comes first: a
// signal, a key, the time, or the end of the program. It returns the key, or none
// when the wait is over by itself.
func (v *Visit) await(ctx context.Context, w ask.Watching, keys <-chan ask.Pressed, u until) (ask.Pressed, error) {
	connected, deaf := true, []signal.Way(nil)
	for {
		now := v.clock.Now()
		v.lookAround(now) // before anything is taken as over that only seems so
		var end time.Time
		var status ask.Phrase
		var over, up bool
		var lost []signal.Way
		if err := v.look(func(r *record.Record) {
			end, status, over = u(r, now)
			up, lost = r.Connected(), r.Deaf()
			v.befell(r, w.Say)
		}); err != nil {
			return ask.Pressed{}, err
		}
		if changes := connections(connected, up, deaf, lost); !over {
			connected, deaf = up, lost
			for _, n := range changes {
				w.Say(n)
			}
		}
		if over || !end.IsZero() && !now.Before(end) {
			return ask.Pressed{}, nil
		}
		select {
		case pressed, ok := <-keys:
			if pressed, err := v.pressed(pressed, ok, &keys, end); pressed.Key != "" || err != nil {
				return pressed, err
			}
			continue
		default:
		}
		if v.clock.Pass(end) {
			continue
		}
		w.Status(status)
		wait := tick
		if !end.IsZero() {
			wait = min(wait, end.Sub(now))
		}
		timer := time.NewTimer(wait)
		select {
		case pressed, ok := <-keys:
			timer.Stop()
			if pressed, err := v.pressed(pressed, ok, &keys, end); pressed.Key != "" || err != nil {
				return pressed, err
			}
		case <-v.changed:
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
			return ask.Pressed{}, ctx.Err()
		}
		timer.Stop()
	}
}

// connections tell what was lost and what is back: each of several ears by its name.
func connections(connected, up bool, deaf, lost []signal.Way) (all []ask.Notice) {
	for _, ear := range deaf {
		if !slices.Contains(lost, ear) {
			all = append(all, ask.EarBack{Ear: ear})
		}
	}
	for _, ear := range lost {
		if !slices.Contains(deaf, ear) {
			all = append(all, ask.EarLost{Ear: ear})
		}
	}
	switch {
	case len(deaf)+len(lost) > 0 || up == connected:
	case up:
		all = append(all, ask.ConnectedAgain{})
	default:
		all = append(all, ask.NotConnected{})
	}
	return all
}

// pressed gives a key its meaning. Keys that can no longer come are switched
// off, but a wait that only a key can end is a pause then.
func (v *Visit) pressed(pressed ask.Pressed, ok bool, keys *<-chan ask.Pressed, end time.Time) (ask.Pressed, error) {
	switch {
	case !ok && end.IsZero():
		return ask.Pressed{}, ask.ErrPaused
	case !ok:
		*keys = nil
		return ask.Pressed{}, nil
	case pressed.Key == ask.Interrupted || pressed.Key == ask.Gone:
		return ask.Pressed{}, ask.ErrPaused
	}
	return pressed, nil
}

// watch shows a wait, awaits it and gives the screen back. Between keys that
// the caller deals with, it may be called again with the same wait.
func (v *Visit) watch(ctx context.Context, spec ask.Watch, u until) (ask.Pressed, error) {
	return v.watchSaying(
		ctx,
		spec,
		func(_ ask.Watching, r *record.Record, now time.Time) (time.Time, ask.Phrase, bool) { return u(r, now) },
	)
}

// watchSaying is watch for a wait during which the technician is told things.
func (v *Visit) watchSaying(ctx context.Context, spec ask.Watch, u saying) (ask.Pressed, error) {
	w, err := v.operator.Watch(ctx, spec)
	if err != nil {
		return ask.Pressed{}, err
	}
	defer w.Close()
	return v.await(ctx, w, w.Pressed(), u.in(w))
}

// forever is a wait that only a key ends.
func forever(*record.Record, time.Time) (time.Time, ask.Phrase, bool) { return time.Time{}, nil, false }
