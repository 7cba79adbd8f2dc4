package visit

import (
	"context"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

const (
	countFrom  = 3
	countEvery = time.Second
)

// count counts down to a cue: three, two, one, now. The technician follows the count and does
// not react to it, so that the cue is a touch of a device whose clock is ours: its instant is
// exact, and by how much a person misses it is in the uncertainty of the trial
// (record.TapPerson). A key breaks the count off.
func (v *Visit) count(ctx context.Context, s *record.Outcome) (ask.Pressed, error) {
	w, err := v.operator.Watch(ctx, ask.Watch{ID: s.Step().ID + "/count", Title: ask.GoTo{Step: v.name(s)},
		Keys: []ask.Key{ask.Again, ask.Leave}})
	if err != nil {
		return ask.Pressed{}, err
	}
	defer w.Close()
	began := v.clock.Now()
	end := began.Add(countFrom * countEvery)
	pressed, err := v.await(ctx, w, w.Pressed(), func(_ *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
		return end, ask.Counting{Left: countFrom - int(now.Sub(began)/countEvery)}, false
	})
	switch {
	case err != nil:
		return ask.Pressed{}, err
	case pressed.Key != "":
		return ask.Pressed{Key: pressed.Key}, nil
	}
	w.Status(ask.Counting{})
	now := v.clock.Now()
	return ask.Pressed{Key: ask.Ready, At: now, Tap: v.ownTap(now, record.ByCount)}, nil
}
