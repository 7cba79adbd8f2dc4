package mqtt

import (
	"context"
	"fmt"
	"net"
	"sync"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
)

const (
	// askEvery is how often the broker is asked whether the link moves, and standsStill how
	// long it may take to answer, beside twice the shortest round trip of the connection.
	askEvery    = 250 * time.Millisecond
	standsStill = 500 * time.Millisecond
	// Unnoticed is the longest that a link or a broker can stand still without being told,
	// beside twice the shortest round trip: so much, at most, can a report be late. One that
	// the broker gets just after a question is followed by the answer to the next.
	Unnoticed = askEvery + standsStill
	// mostPassed is what counts of a time in which nobody looked at the link. A program that
	// did not run, and finds the answer waiting, is not to blame the link; that it did not run
	// is noticed elsewhere (commission/visit/awake.go).
	mostPassed = askEvery + 100*time.Millisecond
	// mostAsked bounds the questions that nobody answers.
	mostAsked = 64
)

// A link is a connection that knows whether bytes move on it. It asks the broker by a
// PINGREQ of its own, which a client may send at any time (MQTT 3.1.1, 3.12), between the
// packets of the client library: that writes each with one Write, counts no answers, and
// asks by itself as before, since it does not know of ours.
//
// Any byte is no answer: what the broker had sent before may still trickle in. The broker
// answers in the order in which it is asked, after all that it sent before (3.12.4, 4.6).
type link struct {
	net.Conn
	clock   clock.Clock
	stood   func(detail string) // the link stands still
	moves   func()              // and moves again
	writing sync.Mutex          // for a whole packet

	mu       sync.Mutex
	frames   frames
	looked   time.Time
	passed   time.Duration   // in which somebody looked; all times below are of it
	asked    []time.Duration // when, the oldest first; not answered yet
	best     time.Duration   // shortest round trip
	next     time.Duration   // when to ask again
	late     time.Duration   // when the last answer came that took too long
	begun    bool
	asking   bool // a question is being written
	standing bool
	over     bool
	stop     func() // of the timer
}

var pingreq = []byte{typePingreq, 0}

func newLink(conn net.Conn, by clock.Clock, stood func(detail string), moves func()) *link {
	return &link{Conn: conn, clock: by, stood: stood, moves: moves, looked: by.Now(), best: pingTimeout, stop: func() {}}
}

// begin watches the link from here on.
func (l *link) begin() {
	l.mu.Lock()
	first := !l.begun
	l.begun = true
	l.mu.Unlock()
	if first {
		l.wake()
	}
}

// Read tells that the link stood still before it hands on what was held meanwhile.
func (l *link) Read(p []byte) (int, error) {
	n, err := l.Conn.Read(p)
	if n > 0 {
		l.heard(p[:n])
	}
	return n, err
}

func (l *link) heard(p []byte) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	l.judge(now)
	for range l.frames.answers(p) {
		l.answered(now)
	}
}

// Write writes one packet.
func (l *link) Write(p []byte) (int, error) {
	if len(p) > 0 && (typeOf(p[0]) == typeConnect || typeOf(p[0]) == typePingreq) {
		l.mu.Lock()
		l.asked = append(l.asked, l.now())
		l.mu.Unlock()
	}
	l.writing.Lock()
	defer l.writing.Unlock()
	return l.Conn.Write(p)
}

// Close tells nothing any more.
func (l *link) Close() error {
	l.mu.Lock()
	l.over = true
	l.stop()
	l.mu.Unlock()
	return l.Conn.Close()
}

// now is the time that has passed. Needs the lock, as do all below.
func (l *link) now() time.Duration {
	now := l.clock.Now()
	l.passed += min(now.Sub(l.looked), mostPassed)
	l.looked = now
	return l.passed
}

func (l *link) limit() time.Duration { return standsStill + 2*l.best }

// judge tells once that the oldest question is not answered in time.
func (l *link) judge(now time.Duration) {
	if !l.begun || l.over || l.standing || len(l.asked) == 0 || now-l.asked[0] <= l.limit() {
		return
	}
	l.standing = true
	l.stood(fmt.Sprintf("no PINGRESP within %v", l.limit().Round(time.Millisecond)))
}

// answered takes the answer to the oldest question. The link moves again when one was
// answered in time that was asked after the last late answer: what was held has come before.
func (l *link) answered(now time.Duration) {
	if len(l.asked) == 0 {
		return // of a question that nobody asked
	}
	asked, limit := l.asked[0], l.limit()
	l.asked = l.asked[1:]
	l.best = min(l.best, now-asked)
	switch {
	case now-asked > limit:
		l.late = now
	case l.standing && asked > l.late && !l.over:
		l.standing = false
		l.moves()
	}
}

// wake judges and asks when it is time to, and again until the connection is closed. It
// goes on judging while a question cannot be written.
func (l *link) wake() {
	if l.dueToAsk() {
		_, _ = l.Write(pingreq) // who reads meets the failure
		l.mu.Lock()
		l.asking = false
		l.mu.Unlock()
	}
}

func (l *link) dueToAsk() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.over {
		return false
	}
	now := l.now()
	l.judge(now)
	due := now >= l.next
	if due {
		l.next = now + askEvery
	}
	at := l.next
	if len(l.asked) > 0 && !l.standing {
		at = min(at, l.asked[0]+l.limit()+1)
	}
	l.stop = l.clock.AfterFunc(at-now, l.wake)
	ask := due && !l.asking && len(l.asked) < mostAsked
	l.asking = l.asking || ask
	return ask
}

// open connects for the client library.
func (c *Controller) open() (net.Conn, error) {
	ctx, cancel := context.WithTimeout(context.Background(), connectTimeout/2)
	defer cancel()
	conn, err := c.connection(ctx)
	if err != nil {
		return nil, err
	}
	l := newLink(conn, c.clock, c.stood, c.moves)
	c.reach.Lock()
	defer c.reach.Unlock()
	c.link, c.standing = l, false
	return l, nil
}

// watchLink watches the connection that stands.
func (c *Controller) watchLink() {
	c.reach.Lock()
	l := c.link
	c.reach.Unlock()
	if l != nil {
		l.begin()
	}
}

func (c *Controller) stood(detail string) {
	c.reach.Lock()
	defer c.reach.Unlock()
	c.standing = true
	if !c.closing.Load() {
		c.to.Connection(signal.Connection{Up: false, Why: signal.Stalled, Detail: detail})
	}
}

// moves tells that the link is back, unless the controller said that it is gone itself.
func (c *Controller) moves() {
	c.reach.Lock()
	defer c.reach.Unlock()
	c.standing = false
	if !c.away && !c.closing.Load() {
		c.to.Connection(signal.Connection{Up: true, Why: signal.BackAgain})
	}
}
