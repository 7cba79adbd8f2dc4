// Package clock lets a demonstration run in simulated time: the same visit,
// the same waits, but an hour passes at once.
package clock

import (
	"container/heap"
	"sync"
	"time"
)

// Clock is where a visit takes time from.
type Clock interface {
	Now() time.Time
	// AfterFunc calls f after d, on a goroutine of its own or of whoever passes
	// time. stop prevents a call that has not begun.
	AfterFunc(d time.Duration, f func()) (stop func())
	// Pass lets simulated time pass up to the next event, at most to the limit
	// unless it is zero, and tells whether it did. Real time passes by itself:
	// false.
	Pass(limit time.Time) bool
}

// Computer is the clock of a computer: its time of day may be set, and it may sleep.
type Computer interface {
	Clock
	// TimeOfDay is what the time of day was at an instant.
	TimeOfDay(at time.Time) time.Time
	// Slept is how long the computer has slept in a time that Now does not count; only
	// differences mean anything. 0 where the system does not tell.
	Slept() time.Duration
}

// Sleep returns after d by a clock.
func Sleep(c Clock, d time.Duration) {
	over := make(chan struct{})
	c.AfterFunc(d, func() { close(over) })
	for end := c.Now().Add(d); c.Pass(end); {
		select {
		case <-over:
			return
		default:
		}
	}
	<-over
}

// Real is the computer's clock.
type Real struct{}

// Now is the time with its monotonic reading.
func (Real) Now() time.Time { return time.Now() }

// AfterFunc is time.AfterFunc.
func (Real) AfterFunc(d time.Duration, f func()) func() {
	t := time.AfterFunc(d, f)
	return func() { t.Stop() }
}

// TimeOfDay is an instant without its monotonic reading.
func (Real) TimeOfDay(at time.Time) time.Time { return at.Round(0) }

// Slept is what the system tells.
func (Real) Slept() time.Duration { return slept() }

// Pass is false: real time passes by itself.
func (Real) Pass(time.Time) bool { return false }

// Simulated is a clock that stands still until Pass is called.
type Simulated struct {
	mu     sync.Mutex
	now    time.Time
	events events
	seq    int
}

// NewSimulated starts a simulated clock.
func NewSimulated(start time.Time) *Simulated { return &Simulated{now: start} }

// Now is the simulated time.
func (s *Simulated) Now() time.Time {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.now
}

// AfterFunc calls f from Pass once d has passed.
func (s *Simulated) AfterFunc(d time.Duration, f func()) func() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.seq++
	e := &event{at: s.now.Add(max(0, d)), seq: s.seq, do: f}
	heap.Push(&s.events, e)
	return func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		e.do = nil
	}
}

// Pass moves to the next event and runs it, or to the limit if that is
// earlier. Events at the same time run in the order they were made.
func (s *Simulated) Pass(limit time.Time) bool {
	s.mu.Lock()
	for len(s.events) > 0 && s.events[0].do == nil {
		heap.Pop(&s.events)
	}
	if len(s.events) == 0 || !limit.IsZero() && s.events[0].at.After(limit) {
		defer s.mu.Unlock()
		if limit.IsZero() || !limit.After(s.now) {
			return false
		}
		s.now = limit
		return true
	}
	e := heap.Pop(&s.events).(*event)
	s.now = e.at
	s.mu.Unlock()
	e.do()
	return true
}

type event struct {
	at  time.Time
	seq int
	do  func()
}

type events []*event

func (e events) Len() int { return len(e) }
func (e events) Less(i, j int) bool {
	if e[i].at.Equal(e[j].at) {
		return e[i].seq < e[j].seq
	}
	return e[i].at.Before(e[j].at)
}
func (e events) Swap(i, j int) { e[i], e[j] = e[j], e[i] }
func (e *events) Push(x any)   { *e = append(*e, x.(*event)) }
func (e *events) Pop() any {
	old := *e
	x := old[len(old)-1]
	*e = old[:len(old)-1]
	return x
}
