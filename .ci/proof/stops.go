package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

// stops stops the real program in visits in real time at a broker, for up to some seconds at
// instants that are drawn, and lets it go on, as a computer does that is starved. A trial may be
// void and is taken again; each detector has the verdict of a visit that was not stopped, and the
// journal tells each stop that was long.
type stops struct{}

func (stops) name() string { return "stops" }

const (
	shortestStop, longestStop = 80 * time.Millisecond, 5 * time.Second
	// toldStop is a stop that has to be told wherever it was: more than a second (see
	// visit/awake.go), and what a look may be late.
	toldStop = 1100 * time.Millisecond
)

func (stops) run(ctx context.Context, o options) (result, error) {
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
	var visits atomic.Int64
	q := &quota{left: o.of(80, 4)}
	err = q.share(ctx, kiosks, o.seed, func(i, most int, rng *rand.Rand) (int, error) {
		visits.Add(1)
		k, err := o.openKiosk(b.at, b.at, fmt.Sprintf("stopped-%d", i))
		if err != nil {
			return 0, err
		}
		defer k.close()
		v := stoppedKiosk{kiosk: k, of: known, t: t, rng: rng, longest: o.stop()}
		n, came := v.live(ctx, most)
		t.sounded(k.longestOn())
		t.tryMany(n, fmt.Sprintf("visit %d of -seed %d, stopped %d times", i, o.seed, n), came)
		return n, nil
	})
	t.note("%d visits", visits.Load())
	return t.result(), err
}

// stop is how long a stop lasts at most.
func (o options) stop() time.Duration {
	if o.short {
		return longestStop / 3
	}
	return longestStop
}

// stop is one.
type stop struct{ from, to time.Time }

// stoppedKiosk is a visit of the kiosk that is stopped several times.
type stoppedKiosk struct {
	*kiosk
	of      uninterrupted
	t       *tally
	rng     *rand.Rand
	longest time.Duration
}

// live runs the visit to its end with stops on the way.
func (v *stoppedKiosk) live(ctx context.Context, most int) (n int, came error) {
	run, err := v.attend(ctx)
	if err != nil {
		return 0, err
	}
	var all []stop
	for range most {
		s, over, err := v.stop(run)
		if err != nil {
			run.kill()
			return len(all), err
		}
		if over {
			break
		}
		all = append(all, s)
	}
	code, err := run.code()
	if err != nil {
		return len(all), err
	}
	path, _ := journalIn(v.dir)
	contents, err := journal.ReadFile(path)
	if err != nil {
		return len(all), err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return len(all), err
	}
	got := outcomeOf(r)
	if code != got.exitCode() || got["done"] != "true" {
		return len(all), fmt.Errorf("exit code %d for %q: %s", code, got[resultKey], run.tail())
	}
	v.t.count("absences told", len(r.Absences()))
	v.t.verdictsOf(got)
	if err := sameVerdicts(v.of.outcome, got); err != nil {
		return len(all), err
	}
	return len(all), tellsOf(all, contents.Entries)
}

// stop stops the program for a while, some time from now. over: it ended before.
func (v *stoppedKiosk) stop(run *child) (s stop, over bool, err error) {
	select {
	case <-run.ended:
		return s, true, nil
	case <-time.After(time.Duration(v.rng.Int64N(int64(v.of.took) / 2))):
	}
	if err := run.cmd.Process.Signal(syscall.SIGSTOP); err != nil {
		return s, true, nil // it has ended
	}
	s.from = time.Now()
	time.Sleep(shortestStop + time.Duration(v.rng.Int64N(int64(v.longest-shortestStop))))
	s.to = time.Now()
	return s, false, run.cmd.Process.Signal(syscall.SIGCONT)
}

// sameVerdicts compares the verdicts on detectors, what outputs do, and what concluded steps.
func sameVerdicts(want, got outcome) error {
	var wrong []error
	for key, was := range want {
		class, _, _ := strings.Cut(key, " ")
		if (class == "verdict" || class == "output" || class == "step") && got[key] != was {
			wrong = append(wrong, fmt.Errorf("%s: %s, and %s without stops", key, got[key], was))
		}
	}
	return errors.Join(wrong...)
}

// tellsOf is unnoticed where a long stop within the visit has no entry, unless nothing was
// written after it.
func tellsOf(stops []stop, entries []journal.Entry) error {
	const soon, noise = time.Second, 30 * time.Millisecond
	for _, s := range stops {
		lasted := s.to.Sub(s.from)
		if lasted < toldStop || !s.from.After(entries[0].At) || !entries[len(entries)-1].At.After(s.to.Add(noise)) {
			continue
		}
		if !toldAt(s, lasted-noise, entries, soon) {
			return unnoticed{fmt.Sprintf("nothing tells that the program was stopped for %s, %s after its begin",
				lasted.Round(time.Millisecond), s.from.Sub(entries[0].At).Round(time.Millisecond))}
		}
	}
	return nil
}

func toldAt(s stop, least time.Duration, entries []journal.Entry, soon time.Duration) bool {
	for _, e := range entries {
		if e.At.Before(s.to.Add(-soon/10)) || e.At.After(s.to.Add(soon)) {
			continue
		}
		fact, err := record.FactOf(e)
		absent, is := fact.(record.Absent)
		if err == nil && is && time.Duration(absent.LastedNS+absent.SleptNS) >= least {
			return true
		}
	}
	return false
}
