// Package visit runs one attendance: it asks the technician, listens to the
// controller, and writes what happens into the journal. Whatever is known of
// the visit is the record folded from that journal; the visit keeps no memory
// of its own.
package visit

import (
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
	"loopwitness/commission/site"
)

// Bench is a simulated building: it does what a technician's hands would.
type Bench interface {
	Act(site.Point, record.Half)
	Mains(on bool)
	Restart()
	Sounding(on bool)
	Volts() float64
}

// Visit is one attendance in progress.
type Visit struct {
	operator ask.Operator
	source   signal.Source
	clock    clock.Clock
	tool     string

	mu      sync.Mutex
	journal *journal.Writer
	record  *record.Record
	failed  error

	changed chan struct{} // something was added to the record
}

// Config is what a visit needs.
type Config struct {
	Operator ask.Operator
	Source   signal.Source
	Clock    clock.Clock
	Tool     string // name and version
}

func newVisit(c Config, w *journal.Writer) *Visit {
	v := &Visit{source: c.Source, clock: c.Clock, tool: c.Tool, journal: w, record: &record.Record{}, changed: make(chan struct{}, 1)}
	v.operator = attentive{c.Operator, v}
	return v
}

// attentive is the operator who is told after a question what happened to the
// connection while it stood; a wait tells it at once.
type attentive struct {
	ask.Operator
	v *Visit
}

func (a attentive) Ask(ctx context.Context, q ask.Question) (string, error) {
	before := a.outages()
	answer, err := a.Operator.Ask(ctx, q)
	if after := a.outages(); after > before {
		a.Tell("   The connection to the controller was lost while you answered.")
	}
	return answer, err
}

func (a attentive) outages() int {
	n := 0
	_ = a.v.look(func(r *record.Record) { n = len(r.Outages()) }) // a failure is met at the next entry
	return n
}

// Start begins a visit in a new journal. Close the Visit.
func Start(c Config, path string, opened record.Opened) (*Visit, error) {
	w, err := journal.Create(path)
	if err != nil {
		return nil, err
	}
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
	if recovered.Bytes > 0 {
		c.Operator.Tell(fmt.Sprintf("The journal ended in an unfinished line (%d bytes), as after a power cut. It was set aside in %s; all whole entries are kept.", recovered.Bytes, recovered.File))
	}
	if err := v.add(record.Resumed{Tool: c.Tool}); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return v, nil
}

// Close lets the journal go.
func (v *Visit) Close() error { return v.journal.Close() }

// Record is the record as it stands. The visit must not be running.
func (v *Visit) Record() *record.Record { return v.record }

// add writes a fact that happens now.
func (v *Visit) add(f record.Fact) error { return v.addAt(v.clock.Now(), f) }

// addAt writes a fact with the time it happened and takes it into the record.
func (v *Visit) addAt(at time.Time, f record.Fact) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	return v.addLocked(at, f)
}

// addLocked is addAt for who holds the lock.
func (v *Visit) addLocked(at time.Time, f record.Fact) error {
	if v.failed != nil {
		return v.failed
	}
	e, err := v.journal.Append(at, f.Kind(), f)
	if err == nil {
		err = v.record.Take(e)
	}
	if err != nil {
		v.failed = err
	}
	v.notify()
	return err
}

// fail ends the visit from another goroutine.
func (v *Visit) fail(err error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.failed == nil {
		v.failed = err
	}
	v.notify()
}

func (v *Visit) notify() {
	select {
	case v.changed <- struct{}{}:
	default:
	}
}

// look reads the record while signals may be coming in.
func (v *Visit) look(read func(*record.Record)) error {
	v.mu.Lock()
	defer v.mu.Unlock()
	read(v.record)
	return v.failed
}

// receiver writes what the source hears. A signal is in the journal before
// anybody waits for it.
type receiver struct{ v *Visit }

func (r receiver) Signal(s signal.Signal) {
	defer r.v.recovered("listening")
	_ = r.v.addAt(s.At, signal.Signal{Address: s.Address, State: s.State, Kept: s.Kept, Raw: s.Raw}) // kept in v.failed
}

func (r receiver) Connection(c signal.Connection) {
	defer r.v.recovered("listening")
	_ = r.v.add(c) // kept in v.failed
}

// recovered turns a panic of another goroutine into the end of the visit, so
// that terminal and sounder are left as they should be.
func (v *Visit) recovered(where string) {
	if p := recover(); p != nil {
		v.fail(fmt.Errorf("%s: the program has a fault: %v", where, p))
	}
}
