package desk

import (
	"context"
	"errors"
	"sync"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// Watch begins a wait with whoever holds the questions. When they change hands it goes on
// with the other: the visit notices nothing.
func (d *Desk) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	watch := &watching{d: d, ctx: ctx, w: w, keys: make(chan ask.Pressed), done: make(chan struct{}),
		over: make(chan struct{})}
	held, changed, err := watch.beginAnywhere()
	if err != nil {
		return nil, err
	}
	go watch.run(held, changed)
	return watch, nil
}

type watching struct {
	d          *Desk
	ctx        context.Context // of the visit
	w          ask.Watch
	keys       chan ask.Pressed
	done, over chan struct{}
	once       sync.Once

	mu     sync.Mutex
	there  ask.Watching // where the questions are; nil while they change hands
	status ask.Phrase
	shown  bool // a status was told
}

// beginAnywhere begins the wait with whoever holds the questions by then.
func (w *watching) beginAnywhere() (held record.Held, changed <-chan struct{}, err error) {
	for {
		held, changed = w.d.turn()
		if err = w.begin(held, changed); !errors.Is(err, errMoved) {
			return held, changed, err
		}
	}
}

// begin begins the wait with who holds the questions; errMoved says that they changed hands
// before the terminal's screen was free.
func (w *watching) begin(held record.Held, changed <-chan struct{}) error {
	if held.By == record.OnPhone {
		w.put(w.d.phone.WatchInto(w.w, w.keys))
		return nil
	}
	select {
	case w.d.screen <- struct{}{}:
	case <-changed:
		return errMoved
	case <-w.done:
		return context.Canceled
	case <-w.ctx.Done():
		return w.ctx.Err()
	}
	there, err := w.d.terminal.Watch(w.ctx, w.w)
	if err != nil {
		<-w.d.screen
		return err
	}
	w.d.mu.Lock()
	w.d.waits = there
	w.d.mu.Unlock()
	w.put(there)
	return nil
}

func (w *watching) put(there ask.Watching) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.there = there; w.shown {
		there.Status(w.status)
	}
}

// end ends the wait where it was begun.
func (w *watching) end(held record.Held) {
	w.mu.Lock()
	there := w.there
	w.there = nil
	w.mu.Unlock()
	if held.By == record.OnPhone {
		there.Close()
		return
	}
	w.d.mu.Lock()
	w.d.waits = nil
	w.d.mu.Unlock()
	there.Close()
	<-w.d.screen
}

// run follows the questions from hand to hand until the wait is over.
func (w *watching) run(held record.Held, changed <-chan struct{}) {
	defer close(w.over)
	for {
		moved := w.follow(held, changed)
		w.end(held)
		if !moved {
			return
		}
		var err error
		if held, changed, err = w.beginAnywhere(); err != nil {
			w.press(ask.Pressed{Key: ask.Gone})
			return
		}
	}
}

// follow delivers keys until the wait is over, or the questions change hands. A phone
// delivers its own.
func (w *watching) follow(held record.Held, changed <-chan struct{}) (moved bool) {
	var keys <-chan ask.Pressed
	if held.By != record.OnPhone {
		keys = w.there.Pressed()
	}
	for {
		var k ask.Pressed
		select {
		case <-w.done:
			return false
		case <-changed:
			return true
		case <-w.d.paused:
			k = ask.Pressed{Key: ask.Interrupted}
		case pressed, open := <-keys:
			if k = pressed; !open {
				k, keys = ask.Pressed{Key: ask.Gone}, nil
			}
		}
		if !w.press(k) {
			if k.Key == ask.Interrupted {
				w.d.pause()
			}
			return false
		}
	}
}

// press delivers a key unless the wait is over.
func (w *watching) press(k ask.Pressed) bool {
	select {
	case w.keys <- k:
		return true
	case <-w.done:
		return false
	}
}

func (w *watching) Pressed() <-chan ask.Pressed { return w.keys }

func (w *watching) Status(p ask.Phrase) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.status, w.shown = p, true; w.there != nil {
		w.there.Status(p)
	}
}

// Say tells both.
func (w *watching) Say(n ask.Notice) {
	w.d.phone.Tell(n)
	w.d.aside(n)
}

// Close may be called again.
func (w *watching) Close() {
	w.once.Do(func() { close(w.done) })
	<-w.over
}
