// Package desk is where a terminal and a phone take turns: what is asked, told and waited
// for goes to the one that holds the questions, and is put again to the other when they
// change hands in the middle.
package desk

import (
	"context"
	"errors"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone"
	"loopwitness/commission/record"
)

// Desk is an ask.Device and ask.Shower over a terminal and a phone. The phone holds the
// questions at first, though none may be paired yet. Make one with New; close it.
type Desk struct {
	terminal ask.Operator
	phone    *phone.Server
	pairing  ask.Pairing

	// screen is full while somebody uses the terminal: a question, a wait, or who stands by.
	screen chan struct{}
	paused chan struct{} // somebody interrupted who stands by; one talk takes it

	mu      sync.Mutex
	holds   record.Held
	changed chan struct{} // closed when the questions change hands
	waits   ask.Watching  // at the terminal, nil for none
	asking  bool          // the terminal asks
	later   []ask.Notice  // that are told once it does not

	closed context.CancelFunc
	over   chan struct{}
}

// New lets a terminal and a phone take turns; pairing is what the terminal shows while the
// phone holds the questions, but for the device. A terminal that is an ask.StandIn can take
// them back.
func New(terminal ask.Operator, p *phone.Server, pairing ask.Pairing) *Desk {
	ctx, cancel := context.WithCancel(context.Background())
	d := &Desk{terminal: terminal, phone: p, pairing: pairing, paused: make(chan struct{}, 1),
		screen: make(
			chan struct{},
			1,
		), holds: record.Held{By: record.OnPhone}, changed: make(chan struct{}), closed: cancel, over: make(chan struct{})}
	p.Beside(d.moved, d.aside)
	go d.standBy(ctx)
	return d
}

// Close gives the terminal's screen back. It returns when nobody stands by any more.
func (d *Desk) Close() {
	d.closed()
	<-d.over
}

// moved takes who holds the questions from now on.
func (d *Desk) moved(to record.Held) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.holds = to
	close(d.changed)
	d.changed = make(chan struct{})
}

// turn is who holds the questions, and what is closed when that changes.
func (d *Desk) turn() (record.Held, <-chan struct{}) {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.holds, d.changed
}

// standBy lets the terminal show how things stand for as long as a phone holds the
// questions.
func (d *Desk) standBy(ctx context.Context) {
	defer close(d.over)
	in, is := d.terminal.(ask.StandIn)
	for ctx.Err() == nil {
		held, changed := d.turn()
		if is && held.By == record.OnPhone {
			switch d.stand(ctx, in, held, changed) {
			case ask.TakeBack:
				d.phone.TakeBack()
				continue
			case ask.Interrupted:
				d.pause()
				continue
			case ask.Gone:
				is = false // nobody is there; the phone goes on
			}
		}
		select {
		case <-changed:
		case <-ctx.Done():
		}
	}
}

// stand stands by until the questions change hands.
func (d *Desk) stand(ctx context.Context, in ask.StandIn, held record.Held, changed <-chan struct{}) ask.Key {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	go func() {
		select {
		case <-changed:
			cancel()
		case <-ctx.Done():
		}
	}()
	select {
	case d.screen <- struct{}{}:
		defer func() { <-d.screen }()
	case <-ctx.Done():
		return ""
	}
	p := d.pairing
	p.Device = held.Device
	return in.StandBy(ctx, p)
}

// pause interrupts the talk that stands, or the next.
func (d *Desk) pause() {
	select {
	case d.paused <- struct{}{}:
	default:
	}
}

var errMoved = errors.New("the questions have changed hands")

// during is a context that ends as well when the questions change hands (errMoved), or when
// somebody interrupts who stands by (ask.ErrPaused).
func (d *Desk) during(ctx context.Context, changed <-chan struct{}) (context.Context, context.CancelCauseFunc) {
	ctx, cancel := context.WithCancelCause(ctx)
	go func() {
		select {
		case <-changed:
			cancel(errMoved)
		case <-d.paused:
			cancel(ask.ErrPaused)
			if context.Cause(ctx) != ask.ErrPaused {
				d.pause() // too late for this one
			}
		case <-ctx.Done():
		}
	}()
	return ctx, cancel
}

// Ask puts a question to whoever holds them, and again where they change hands before it
// is answered.
func (d *Desk) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	for {
		held, changed := d.turn()
		turn, cancel := d.during(ctx, changed)
		var answer ask.Answer
		var err error
		if held.By == record.OnPhone {
			answer, err = d.phone.Ask(turn, q)
		} else {
			answer, err = d.ask(turn, q)
		}
		why := context.Cause(turn)
		cancel(nil)
		switch {
		case err == nil:
			if why == ask.ErrPaused {
				d.pause() // the answer came first; the next talk is interrupted
			}
			return answer, nil
		case ctx.Err() != nil:
			return answer, ctx.Err()
		case why == ask.ErrPaused:
			return answer, ask.ErrPaused
		case why == errMoved && errors.Is(err, context.Canceled):
			continue
		}
		return answer, err
	}
}

// ask puts a question at the terminal, once its screen is free.
func (d *Desk) ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	select {
	case d.screen <- struct{}{}:
		defer func() { <-d.screen }()
	case <-ctx.Done():
		return ask.Answer{}, ctx.Err()
	}
	d.busy(true)
	defer d.busy(false)
	return d.terminal.Ask(ctx, q)
}

// busy tells whether a prompt stands at the terminal, which nothing is printed into.
func (d *Desk) busy(is bool) {
	d.mu.Lock()
	d.asking = is
	var told []ask.Notice
	if !is {
		told, d.later = d.later, nil
	}
	d.mu.Unlock()
	if len(told) > 0 {
		d.terminal.Tell(told...)
	}
}

// aside lets the terminal know what the phones are told of themselves.
func (d *Desk) aside(notices ...ask.Notice) {
	d.mu.Lock()
	waits := d.waits
	if d.asking {
		d.later = append(d.later, notices...)
		notices = nil
	}
	d.mu.Unlock()
	for _, n := range notices {
		if waits != nil {
			waits.Say(n)
		} else {
			d.terminal.Tell(n)
		}
	}
}

// Tell tells both.
func (d *Desk) Tell(notices ...ask.Notice) {
	d.phone.Tell(notices...)
	d.terminal.Tell(notices...)
}

// Board shows the board on both.
func (d *Desk) Board(b ask.Board) {
	d.phone.Board(b)
	if terminal, is := d.terminal.(ask.Shower); is {
		terminal.Board(b)
	}
}

// Serve is told the phone, which tells the visit who holds the questions.
func (d *Desk) Serve(does ask.OutOfTurn) { d.phone.Serve(does) }

// Silent is for how long the phone was not heard of, where it holds the questions.
func (d *Desk) Silent() time.Duration { return d.phone.Silent() }

// Keeps tells whether the phone has touches that it has not delivered yet.
func (d *Desk) Keeps() bool { return d.phone.Keeps() }

// Hail asks the phone to be heard of at once.
func (d *Desk) Hail() { d.phone.Hail() }

// Sounding shows which outputs are on.
func (d *Desk) Sounding(outputs []string) { d.phone.Sounding(outputs) }

// Draws tells whether a phone holds the questions.
func (d *Desk) Draws() bool {
	held, _ := d.turn()
	return held.By == record.OnPhone
}
