package visit

import (
	"context"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// The keys of a wait. One letter means one thing everywhere.
var (
	keyReady  = ask.Key{Rune: ' ', Word: "ready", Help: "ready"}
	keyActive = ask.Key{Rune: 'i', Word: "indicated", Help: "the controller indicates it"}
	keyRest   = ask.Key{Rune: 'r', Word: "at-rest", Help: "the controller indicates rest"}
	keyHeard  = ask.Key{Rune: 'h', Word: "heard", Help: "heard it"}
	keyAgain  = ask.Key{Rune: 'a', Word: "again", Help: "again"}
	keySilent = ask.Key{Rune: 'x', Word: "silent", Help: "nothing came"}
	keySkip   = ask.Key{Rune: 's', Word: "skip", Help: "skip, with a reason"}
	keyNote   = ask.Key{Rune: 'n', Word: "note", Help: "note"}
	keyOhms   = ask.Key{Rune: 'o', Word: "ohms", Help: "ohms of the loop"}
	keyJump   = ask.Key{Rune: 'j', Word: "jump", Help: "jump to another"}
	keyLeave  = ask.Key{Rune: 'l', Word: "leave", Help: "leave this stage"}
)

// tick is how often the status line tells the time.
const tick = 100 * time.Millisecond

// until tells when a wait ends by itself (zero: never), what its status line
// says, and whether it is over already.
type until func(r *record.Record, now time.Time) (end time.Time, status string, over bool)

// await is the one place where the visit waits for whatever comes first: a
// signal, a key, the time, or the end of the program. It returns the word of
// the key, or "" when the wait is over by itself.
func (v *Visit) await(ctx context.Context, w ask.Watching, keys <-chan string, u until) (string, error) {
	connected := true
	for {
		now := v.clock.Now()
		var end time.Time
		var status string
		var over, up bool
		if err := v.look(func(r *record.Record) {
			end, status, over = u(r, now)
			up = r.Connected()
			v.overran(r, w.Say)
		}); err != nil {
			return "", err
		}
		if up != connected && !over {
			connected = up
			w.Say("   " + connectionWords[up])
		}
		if over || !end.IsZero() && !now.Before(end) {
			return "", nil
		}
		select {
		case key, ok := <-keys:
			if key, err := v.pressed(key, ok, &keys, end); key != "" || err != nil {
				return key, err
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
		case key, ok := <-keys:
			timer.Stop()
			if key, err := v.pressed(key, ok, &keys, end); key != "" || err != nil {
				return key, err
			}
		case <-v.changed:
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
			return "", ctx.Err()
		}
		timer.Stop()
	}
}

var connectionWords = map[bool]string{
	true:  "The controller is connected again; go on.",
	false: "NOT CONNECTED to the controller: wait until it is back.",
}

// pressed gives a key its meaning. Keys that can no longer come are switched
// off, but a wait that only a key can end is a pause then.
func (v *Visit) pressed(key string, ok bool, keys *<-chan string, end time.Time) (string, error) {
	switch {
	case !ok && end.IsZero():
		return "", ask.ErrPaused
	case !ok:
		*keys = nil
		return "", nil
	case key == ask.Interrupted || key == ask.Gone:
		return "", ask.ErrPaused
	}
	return key, nil
}

// watch shows a wait, awaits it and gives the screen back. Between keys that
// the caller deals with, it may be called again with the same wait.
func (v *Visit) watch(ctx context.Context, spec ask.Watch, u until) (string, error) {
	return v.watchSaying(ctx, spec, func(_ ask.Watching, r *record.Record, now time.Time) (time.Time, string, bool) { return u(r, now) })
}

// watchSaying is watch for a wait that prints lines while it lasts.
func (v *Visit) watchSaying(ctx context.Context, spec ask.Watch, u func(ask.Watching, *record.Record, time.Time) (time.Time, string, bool)) (string, error) {
	w, err := v.operator.Watch(ctx, spec)
	if err != nil {
		return "", err
	}
	defer w.Close()
	return v.await(ctx, w, w.Keys(), func(r *record.Record, now time.Time) (time.Time, string, bool) { return u(w, r, now) })
}

// forever is a wait that only a key ends.
func forever(*record.Record, time.Time) (time.Time, string, bool) { return time.Time{}, "", false }
