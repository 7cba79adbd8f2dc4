// Package visit runs one attendance: it asks the technician, listens to the
// controller, and writes what happens into the journal. Whatever is known of
// the visit is the record folded from that journal; the visit keeps no memory
// of its own.
package visit

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// Visit is one attendance in progress.
type Visit struct {
	operator ask.Operator
	source   signal.Source
	clock    clock.Clock
	tool     string
	readers  []Reader

	intake *intake // what has arrived and is not yet written

	mu      lock
	journal *journal.Writer
	record  *record.Record
	failed  error    // of the journal, or a fault: nothing more is durable
	ending  error    // ends the visit; what happens until then is written
	refused *arrival // an overrun: what came from outside and the record refuses
	full    bool     // the journal has only the room that is kept for the end
	refuges []string

	guards  *guards
	hurry   <-chan struct{}
	leaving sync.Mutex   // of what the run leaves
	leftOn  []ask.LeftOn // by the run that has ended
	// wentOff are the outputs that it switched off on its way out.
	wentOff []string

	sampling sampling      // of the supply's voltage
	changed  chan struct{} // something was added to the record
	renewed  chan struct{} // the same, for who shows the board
	told     toldOf
	awake    *awake
	// serves tells that what a device does out of turn is taken, held who holds the questions.
	serves        bool
	held          record.Held
	unprintable   func(string) []string
	photographs   Photographs
	photographing lock // held by who adds a photograph

	// again lets the question that stands while an output is on be put again once it is off.
	again struct {
		output string
		put    func()
	}

	strangers int // signals by a call, not kept from before, of addresses that no zone has

	alarmReady bool // this run was told that all is ready for an alarm

	at      string    // the step in progress, "" for none
	walking time.Time // since when the technician has been at detectors in this run
}

// lock is a mutex that may be held while the disk works. It is a channel, so that
// a test in fake time sees who waits for it.
type lock chan struct{}

func (l lock) Lock()   { l <- struct{}{} }
func (l lock) Unlock() { <-l }

// Config is what a visit needs.
type Config struct {
	Operator ask.Operator
	Source   signal.Source
	Clock    clock.Clock
	Tool     string // name and version
	// Readers are told every fact of the journal, in its order.
	Readers []Reader
	// Hurry is closed when the end of the program is asked for a second time: it ends
	// then, whatever is on. Nil for never.
	Hurry <-chan struct{}
	// Refuges are folders that take a copy of the journal where its own folder does not.
	Refuges []string
	// Photographs keeps what a device photographs during the visit; nil for nowhere.
	Photographs Photographs
	// Unprintable names the scripts of a text that certificates cannot show; nil where nobody asks.
	Unprintable func(text string) []string
	// Running is the lock of the job, which keeps other visits off; nil for none. The visit
	// ends once it was removed.
	Running *journal.Lock
}

// Reader reads the journal as it grows.
type Reader interface {
	// Took is told of a fact once it is durable, and when it happened. Facts of
	// earlier runs come first. It must neither wait nor call the visit.
	Took(at time.Time, f record.Fact)
}

func newVisit(c Config, w *journal.Writer) *Visit {
	w.Watch(c.Running)
	v := &Visit{source: c.Source, clock: c.Clock, tool: c.Tool, readers: c.Readers, refuges: c.Refuges, journal: w,
		record: &record.Record{}, guards: newGuards(), hurry: c.Hurry, intake: newIntake(mostWaiting), mu: make(lock, 1),
		changed: make(chan struct{}, 1), renewed: make(chan struct{}, 1), photographs: c.Photographs,
		unprintable:   c.Unprintable,
		photographing: make(lock, 1)}
	v.operator = attentive{c.Operator, v}
	v.awake = newAwake(c.Clock)
	return v
}

// attentive is the operator who is told after a question what happened to the
// connection while it stood, and whether signals were lost; a wait tells it at once.
// Each question offers to take the last reading or answer again (errRedo), asks whether
// what cannot well be is meant, and tells the unit that a bare number was taken to have.
type attentive struct {
	ask.Operator
	v *Visit
}

func (a attentive) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	before := a.outages()
	q.Step = cmp.Or(q.Step, a.v.at)
	q.Redo = a.v.redoable()
	answer, err := ask.Surely(ctx, a.Operator, q)
	switch {
	case err == nil && answer.Redo:
		err = errRedo
	case answer.Completed:
		a.Tell(ask.TakenAs{Text: answer.Text})
	}
	if of := a.v.unprintable; err == nil && of != nil {
		if scripts := of(answer.Text); len(scripts) > 0 {
			a.Tell(ask.NotPrinted{Scripts: scripts})
		}
	}
	if after := a.outages(); after > before {
		a.Tell(ask.LostMeanwhile{})
	}
	lost := seen(a.v, func(r *record.Record) (lost []ask.Notice) {
		a.v.befell(r, func(n ask.Notice) { lost = append(lost, n) })
		return lost
	})
	a.Tell(lost...)
	return answer, err
}

// Watch says which step a wait belongs to.
func (a attentive) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	w.Step = cmp.Or(w.Step, a.v.at)
	return a.Operator.Watch(ctx, w)
}

func (a attentive) outages() int {
	return seen(a.v, func(r *record.Record) int { return len(r.Outages()) })
}

// Start begins a visit in a new journal. Close the Visit.
func Start(c Config, path string, opened record.Opened) (*Visit, error) {
	w, err := journal.Create(path)
	if err != nil {
		return nil, err
	}
	return begin(c, w, opened)
}

func begin(c Config, w *journal.Writer, opened record.Opened) (*Visit, error) {
	v := newVisit(c, w)
	opened.Tool = c.Tool
	_, opened.UTCOffset = c.Clock.Now().Local().Zone()
	if err := v.add(opened); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return v, nil
}

// Resume goes on with a visit. What was recovered from a torn journal is told
// to the technician. Close the Visit.
func Resume(c Config, path string) (*Visit, error) {
	w, contents, recovered, err := journal.Open(path)
	if err != nil {
		return nil, err
	}
	folded, err := record.Fold(contents.Entries)
	if err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", path, err), w.Close())
	}
	v := newVisit(c, w)
	v.record = folded
	v.told = toldOf{folded.Lost(), len(folded.Absences()), len(folded.ClockSteps()), folded.Entries(), false, false}
	if recovered.Bytes > 0 {
		c.Operator.Tell(ask.SetAside{Bytes: recovered.Bytes, Lines: recovered.Lines,
			Left: len(contents.Entries), File: recovered.File})
	}
	if err := v.retell(contents.Entries); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	if err := v.resume(c.Tool); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return v, nil
}

// resume begins a further run, and tells of a clock that was set back since the last.
func (v *Visit) resume(tool string) error {
	now := v.clock.Now()
	var rest record.AfterRest
	if v.awake.computer != nil {
		rest = v.record.SetBack(v.timeOfDay(arrival{at: now}))
	}
	if err := v.addAt(now, record.Resumed{Tool: tool, AfterRest: rest}); err != nil {
		return err
	}
	v.befell(v.record, func(n ask.Notice) { v.operator.Tell(n) })
	return nil
}

// Close lets the journal go.
func (v *Visit) Close() error { return v.journal.Close() }

// Record is the record as it stands. The visit must not be running.
func (v *Visit) Record() *record.Record { return v.record }

// add writes a fact that happens now, and returns once it is durable.
func (v *Visit) add(f record.Fact) error { return v.addAt(v.clock.Now(), f) }

// addAt writes a fact with the time it happened and takes it into the record.
func (v *Visit) addAt(at time.Time, f record.Fact) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.addLocked(at, f)
}

// addLocked is addAt for who holds the lock. What arrived before the fact stands
// before it in the journal.
func (v *Visit) addLocked(at time.Time, f record.Fact) error {
	return v.write(append(v.intake.until(at), arrival{at: at, fact: f}))
}

func (v *Visit) tell(at time.Time, f record.Fact) {
	for _, r := range v.readers {
		r.Took(at, f)
	}
}

// retell tells the readers what happened in earlier runs.
func (v *Visit) retell(entries []journal.Entry) error {
	if len(v.readers) == 0 {
		return nil
	}
	for _, e := range entries {
		f, err := record.FactOf(e)
		if err != nil {
			return err
		}
		v.tell(e.At, f)
	}
	return nil
}

// end ends the visit from another goroutine.
func (v *Visit) end(err error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.ending = err
	v.notify()
}

// fail ends the visit from another goroutine, after a fault: the record may not be whole.
func (v *Visit) fail(err error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.failed == nil {
		v.failed = err
	}
	v.notify()
}

func (v *Visit) notify() {
	for _, to := range []chan struct{}{v.changed, v.renewed} {
		select {
		case to <- struct{}{}:
		default:
		}
	}
}

// look reads the record, with all that has arrived.
func (v *Visit) look(read func(*record.Record)) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	err := v.write(v.intake.all())
	read(v.record)
	if err == nil {
		err = v.ending
	}
	return err
}

// seen reads one thing of the record, with all that has arrived. Where writing that
// fails, the next entry meets it.
func seen[T any](v *Visit, read func(*record.Record) T) (is T) {
	_ = v.look(func(r *record.Record) { is = read(r) })
	return is
}

// recovered turns a panic of another goroutine into the end of the visit, so
// that terminal and sounder are left as they should be.
func (v *Visit) recovered(where string) {
	if p := recover(); p != nil {
		v.fail(fmt.Errorf("%s: the program has a fault: %v", where, p))
	}
}
