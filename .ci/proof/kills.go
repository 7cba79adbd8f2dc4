package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"
)

// kills kills the program in simulated visits and has them go on, several times a visit:
// after so many bytes of the journal, or after so much time, evenly. Afterwards each whole
// line of the journal has to be there that was there at a kill, every fact that the
// screen had passed, and at the end the outcome of the same visit without a kill.
type kills struct{}

func (kills) name() string { return "kills" }

func (kills) run(ctx context.Context, o options) (result, error) {
	cases, err := o.simulatedCases(o.of(24, 6))
	if err != nil {
		return result{}, err
	}
	var known []uninterrupted
	for _, c := range cases {
		u, err := o.undisturbed(ctx, c)
		if err != nil {
			return result{}, fmt.Errorf("%s: %w", c.name, err)
		}
		known = append(known, u)
	}
	t := newTally()
	q := &quota{left: o.kills - o.kills/brokerShare}
	var visits atomic.Int64
	err = q.share(ctx, cores, o.seed, func(i, most int, rng *rand.Rand) (int, error) {
		visits.Add(1)
		v := killedVisit{o: o, t: t, of: known[i%len(known)], rng: rng}
		n, came, err := v.live(ctx, most)
		t.tryMany(n, fmt.Sprintf("visit %d of -seed %d (%s), killed %d times", i, o.seed, v.of.name, n), came)
		return n, err
	})
	t.note("%d visits of %d sites", visits.Load(), len(known))
	return t.result(), err
}

// uninterrupted is a case with what it comes to without an attack.
type uninterrupted struct {
	visitCase
	outcome outcome
	bytes   int // of the journal
	took    time.Duration
	promise promise // where it is the same for all runs
}

// undisturbed runs a case to its end.
func (o options) undisturbed(ctx context.Context, c visitCase) (uninterrupted, error) {
	dir, err := o.folder("undisturbed-")
	if err != nil {
		return uninterrupted{}, err
	}
	defer os.RemoveAll(dir)
	if err := c.lay(dir); err != nil {
		return uninterrupted{}, err
	}
	u := uninterrupted{visitCase: c}
	began := time.Now()
	run, err := o.attend(ctx, dir)
	if err != nil {
		return u, err
	}
	code, err := run.code()
	if err != nil {
		return u, err
	}
	u.took = time.Since(began)
	path, data := journalIn(dir)
	u.bytes = len(data)
	if u.outcome, err = outcomeAt(path); err != nil {
		return u, err
	}
	if code != u.outcome.exitCode() || u.outcome["done"] != "true" {
		return u, fmt.Errorf("the visit does not come to its end without an attack: %s", run.tail())
	}
	return u, nil
}

// attend begins the simulated visit of a job, or goes on with it.
func (o options) attend(ctx context.Context, dir string) (*child, error) {
	args := []string{"visit", "resume"}
	if _, data := journalIn(dir); len(wholeLines(data)) == 0 {
		args = []string{"visit", "start", "--kind", "handover", "--beside"}
	}
	return o.start(ctx, filepath.Join(dir, "screen"), append(args, "--job", dir, "--simulated-time",
		"--answers", filepath.Join(dir, "answers.yaml"))...)
}

// journalIn is the journal of a job's visit: the one with an entry, if there is one.
func journalIn(dir string) (path string, data []byte) {
	all, _ := filepath.Glob(filepath.Join(dir, "visits", "*", "journal.jsonl"))
	for _, one := range all {
		text, err := os.ReadFile(one)
		if err == nil && (path == "" || len(wholeLines(text)) > 0) {
			path, data = one, text
		}
	}
	return path, data
}

// killedVisit is a visit that is killed several times.
type killedVisit struct {
	o   options
	t   *tally
	of  uninterrupted
	rng *rand.Rand
	dir string
}

// live runs the visit to its end with so many kills on the way, fewer where it ends before.
// came says what was lost.
func (v *killedVisit) live(ctx context.Context, most int) (kills int, came, err error) {
	if v.dir, err = v.o.folder("killed-"); err != nil {
		return 0, nil, err
	}
	defer os.RemoveAll(v.dir)
	if err := v.of.lay(v.dir); err != nil {
		return 0, nil, err
	}
	for range most {
		killed, came, err := v.once(ctx)
		if err != nil || came != nil {
			return kills + 1, came, err
		}
		if !killed {
			break // it had come to its end
		}
		kills++
	}
	return kills, v.end(ctx), nil
}

// once runs the visit on until it is killed or ends.
func (v *killedVisit) once(ctx context.Context) (killed bool, came, err error) {
	_, before := journalIn(v.dir)
	promise, err := v.promise(ctx)
	if err != nil {
		return false, fmt.Errorf("it does not go on: %w", err), nil
	}
	run, err := v.o.attend(ctx, v.dir)
	if err != nil {
		return false, nil, err
	}
	v.await(run, len(before))
	killed = run.kill()
	_, after := journalIn(v.dir)
	if len(after) > len(wholeLines(after)) {
		v.t.count("torn lines", 1)
	}
	if len(wholeLines(after)) == 0 {
		v.t.count("before the first entry", 1)
	}
	screen, err := os.ReadFile(run.screen)
	if err != nil {
		return killed, nil, err
	}
	came = kept(before, after)
	if err := promise.holds(string(screen), after); errors.Is(err, errOtherScreen) {
		v.t.count("screens that could not be compared", 1)
	} else {
		came = errors.Join(came, err)
	}
	return killed, came, nil
}

// promise is what the screen of the next run promises, from a copy of the job.
func (v *killedVisit) promise(ctx context.Context) (promise, error) {
	dir, err := v.o.folder("promised-")
	if err != nil {
		return promise{}, err
	}
	defer os.RemoveAll(dir)
	if err := os.CopyFS(dir, os.DirFS(v.dir)); err != nil {
		return promise{}, err
	}
	return promised(ctx, dir)
}

// await returns at the instant of the kill, or when the run has ended.
func (v *killedVisit) await(run *child, size int) {
	deadline := time.Now().Add(longestRun)
	enough := func() bool { return time.Now().After(deadline) }
	if v.rng.IntN(4) > 0 {
		bytes := size + v.rng.IntN(max(1, v.of.bytes-size))
		enough = func() bool { _, data := journalIn(v.dir); return len(data) > bytes || time.Now().After(deadline) }
	} else {
		deadline = time.Now().Add(time.Duration(v.rng.Int64N(int64(v.of.took))))
	}
	for !enough() {
		select {
		case <-run.ended:
			return
		default:
			time.Sleep(20 * time.Microsecond)
		}
	}
}

// end runs the visit to its end and compares.
func (v *killedVisit) end(ctx context.Context) error {
	path, before := journalIn(v.dir)
	if finished(path) {
		got, err := outcomeAt(path)
		v.t.verdictsOf(got)
		return errors.Join(err, compared(v.of.outcome, got))
	}
	run, err := v.o.attend(ctx, v.dir)
	if err != nil {
		return err
	}
	code, err := run.code()
	if err != nil {
		return err
	}
	path, after := journalIn(v.dir)
	if err := kept(before, after); err != nil {
		return err
	}
	if !finished(path) {
		return fmt.Errorf("it does not come to its end, exit code %d: %s", code, run.tail())
	}
	got, err := outcomeAt(path)
	v.t.verdictsOf(got)
	if err = errors.Join(err, compared(v.of.outcome, got)); err != nil {
		return err
	}
	screen, err := os.ReadFile(run.screen)
	if code != got.exitCode() || !strings.Contains(string(screen), " is complete: "+got[resultKey]) {
		err = errors.Join(err, fmt.Errorf("exit code %d for %q: %s", code, got[resultKey], run.tail()))
	}
	return err
}

// finished tells whether the visit of a journal has no open step.
func finished(path string) bool {
	o, err := outcomeAt(path)
	return err == nil && o["done"] == "true"
}
