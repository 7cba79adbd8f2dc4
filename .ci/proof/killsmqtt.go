package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"sync/atomic"
	"time"
)

// brokerKills does as kills does, in real time and at a real broker. Half of the kills come
// while the sounder is on, and it is measured how long it stays on then: until the broker
// switches it off in the program's place, or until the visit is resumed.
type brokerKills struct{}

func (brokerKills) name() string { return "kills-mqtt" }

const (
	// brokerShare of all kills is one in so many.
	brokerShare = 4
	// kiosks that are visited side by side: each waits most of the time.
	kiosks = 6
	// untilSilent is how long the sounder is listened to after a kill before the visit goes
	// on.
	untilSilent = 2 * time.Second
)

func (brokerKills) run(ctx context.Context, o options) (result, error) {
	b, err := o.startBroker(ctx)
	if err != nil {
		return result{}, err
	}
	if b == nil {
		return notTried(noBroker)
	}
	defer b.end()
	known, err := o.undisturbedKiosk(ctx, b)
	if err != nil {
		return result{}, err
	}
	t := newTally()
	var visits, stayed, sounding atomic.Int64
	q := &quota{left: o.kills / brokerShare}
	err = q.share(ctx, kiosks, o.seed, func(i, most int, rng *rand.Rand) (int, error) {
		visits.Add(1)
		k, err := o.openKiosk(b.at, b.at, fmt.Sprintf("visit-%d", i))
		if err != nil {
			return 0, err
		}
		defer k.close()
		v := killedKiosk{kiosk: k, of: known, t: t, rng: rng, stayed: &stayed, sounding: &sounding}
		n, came := v.live(ctx, most)
		t.tryMany(n, fmt.Sprintf("visit %d of -seed %d, killed %d times", i, o.seed, n), came)
		return n, nil
	})
	t.note("%d visits; sounder on at %d kills", visits.Load(), sounding.Load())
	r := t.result()
	if n := stayed.Load(); n > 0 {
		r.sounder = fmt.Sprintf("until resumed (%d of %d)", n, sounding.Load())
	}
	return r, err
}

// undisturbedKiosk is the kiosk's visit without an attack.
func (o options) undisturbedKiosk(ctx context.Context, b *broker) (u uninterrupted, err error) {
	k, err := o.openKiosk(b.at, b.at, "undisturbed")
	if err != nil {
		return u, err
	}
	defer k.close()
	if u.outcome, _, u.took, err = k.ends(ctx); err != nil {
		return u, err
	}
	_, data := journalIn(k.dir)
	u.bytes, u.name = len(data), "kiosk"
	if u.promise, err = o.promisedKiosk(ctx, b); err != nil {
		return u, err
	}
	for key, is := range u.outcome {
		if strings.HasPrefix(key, "verdict ") && is != "proved" {
			return u, fmt.Errorf("%s is %s without an attack", key, is)
		}
	}
	return u, nil
}

// promisedKiosk is what the screen of that visit promises.
func (o options) promisedKiosk(ctx context.Context, b *broker) (promise, error) {
	k, err := o.openKiosk(b.at, b.at, "promised")
	if err != nil {
		return promise{}, err
	}
	defer k.close()
	return promised(ctx, k.dir)
}

// killedKiosk is a visit of the kiosk that is killed several times.
type killedKiosk struct {
	*kiosk
	of               uninterrupted
	t                *tally
	rng              *rand.Rand
	stayed, sounding *atomic.Int64
}

// live runs the visit to its end with kills on the way.
func (v *killedKiosk) live(ctx context.Context, most int) (kills int, came error) {
	for range most {
		killed, err := v.once(ctx)
		if err != nil {
			return kills + 1, err
		}
		if !killed {
			break
		}
		kills++
	}
	path, before := journalIn(v.dir)
	if !finished(path) {
		if got, code, _, err := v.ends(ctx); err != nil || code != got.exitCode() {
			return kills, errors.Join(err, fmt.Errorf("exit code %d for %q", code, got[resultKey]))
		}
	}
	if !v.silent(untilSilent) {
		return kills, errors.New("the sounder is on after the end of the visit")
	}
	path, after := journalIn(v.dir)
	if err := kept(before, after); err != nil {
		return kills, err
	}
	got, err := outcomeAt(path)
	v.t.verdictsOf(got)
	return kills, errors.Join(err, compared(v.of.outcome, got))
}

// once runs the visit on until it is killed or ends.
func (v *killedKiosk) once(ctx context.Context) (killed bool, err error) {
	_, before := journalIn(v.dir)
	run, err := v.attend(ctx)
	if err != nil {
		return false, err
	}
	v.await(run)
	killed = run.kill()
	at := time.Now()
	if since, _ := v.controller.sounding(); killed && !since.IsZero() {
		v.sounding.Add(1)
		if v.silent(untilSilent) {
			v.t.sounded(time.Since(at))
		} else {
			v.stayed.Add(1)
		}
	}
	_, after := journalIn(v.dir)
	screen, err := os.ReadFile(run.screen)
	return killed, errors.Join(err, kept(before, after), v.of.promise.holdsFor(string(screen), after))
}

// await returns at the instant of the kill, or when the run has ended.
func (v *killedKiosk) await(run *child) {
	over := time.After(time.Duration(v.rng.Int64N(int64(v.of.took))))
	if v.rng.IntN(2) == 0 {
		over = v.whileSounding(run)
	}
	select {
	case <-run.ended:
	case <-over:
	}
}

// whileSounding comes at some instant while the sounder is on.
func (v *killedKiosk) whileSounding(run *child) <-chan time.Time {
	into := time.Duration(v.rng.IntN(600)) * time.Millisecond / time.Duration(1+v.rng.IntN(20))
	come := make(chan time.Time)
	go func() {
		for {
			since, changed := v.controller.sounding()
			if !since.IsZero() {
				time.Sleep(into)
				close(come)
				return
			}
			select {
			case <-changed:
			case <-run.ended:
				return
			}
		}
	}()
	return come
}
