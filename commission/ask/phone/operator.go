package phone

import (
	"context"
	"slices"
	"sync"
	"time"

	"loopwitness/commission/ask"
)

// talk is a question or a watch that stands. Its fields but the channels do not change.
type talk struct {
	serial   int
	asked    *ask.Question
	watched  *ask.Watch
	question *Question
	watch    *Watch
	shown    []string // About as it is shown
	status   *Status  // guarded by the server's lock
	answers  chan answered
	keys     chan<- ask.Pressed
	done     chan struct{} // closed when it no longer stands
}

// answered is an answer, or that the visit is paused.
type answered struct {
	answer ask.Answer
	err    error
}

// begin lets a talk stand.
func (s *Server) begin(t *talk) {
	t.done = make(chan struct{})
	s.mu.Lock()
	defer s.mu.Unlock()
	t.serial = int(s.next())
	s.now = t
	s.publish(EventTalk, nil)
}

// end lets it stand no longer.
func (s *Server) end(t *talk) {
	s.mu.Lock()
	defer s.mu.Unlock()
	close(t.done)
	if s.now == t {
		s.now = nil
		s.publish(EventTalk, nil)
	}
}

// Ask shows a question until a phone that holds the questions answers it. Errors:
// ask.ErrPaused, or the context's.
func (s *Server) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	t := &talk{asked: &q, answers: make(chan answered)}
	t.question, t.shown = s.question(q)
	s.begin(t)
	defer s.end(t)
	select {
	case a := <-t.answers:
		return a.answer, a.err
	case <-ctx.Done():
		return ask.Answer{}, ctx.Err()
	}
}

// Watch shows a wait until it is closed.
func (s *Server) Watch(_ context.Context, w ask.Watch) (ask.Watching, error) {
	keys := make(chan ask.Pressed)
	return s.WatchInto(w, keys), nil
}

// WatchInto is Watch with keys that somebody else takes: a phone is told that its key was
// taken when it was received there.
func (s *Server) WatchInto(w ask.Watch, keys chan ask.Pressed) ask.Watching {
	t := &talk{watched: &w, watch: s.watch(w), keys: keys}
	s.begin(t)
	return &watching{s: s, t: t, keys: keys}
}

type watching struct {
	s    *Server
	t    *talk
	keys <-chan ask.Pressed
	once sync.Once
}

func (w *watching) Pressed() <-chan ask.Pressed { return w.keys }

func (w *watching) Status(p ask.Phrase) {
	status := Status{Serial: w.t.serial}
	if p != nil {
		status.Text = w.s.say.Say(p)
	}
	w.s.mu.Lock()
	defer w.s.mu.Unlock()
	if w.s.now != w.t || w.t.status != nil && *w.t.status == status {
		return
	}
	w.t.status = &status
	w.s.publish(EventStatus, status)
}

func (w *watching) Say(n ask.Notice) { w.s.Tell(n) }

// Close may be called again.
func (w *watching) Close() { w.once.Do(func() { w.s.end(w.t) }) }

// Tell shows notices on every phone.
func (s *Server) Tell(notices ...ask.Notice) {
	for _, n := range notices {
		said := s.notice(n)
		s.mu.Lock()
		s.publish(EventNotice, said)
		s.mu.Unlock()
	}
}

// Serve takes what a visit does out of turn.
func (s *Server) Serve(does ask.OutOfTurn) {
	s.holding.Lock()
	defer s.holding.Unlock()
	s.mu.Lock()
	s.does = does
	holder := s.holder
	s.mu.Unlock()
	if holder != nil {
		s.give(holder)
	}
}

// Silent is for how long the phone that holds the questions, or did last, has not been
// heard of.
func (s *Server) Silent() time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.away, s.holder == nil && s.vacant.IsZero():
		return 0
	case s.holder == nil:
		return time.Since(s.vacant)
	}
	return time.Since(s.holder.heard)
}

// Keeps tells whether the phone that holds the questions has touches that it has not
// delivered yet.
func (s *Server) Keeps() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.holder != nil && s.holder.kept > 0
}

// Hail has every page answer a beat at once.
func (s *Server) Hail() {
	s.mu.Lock()
	defer s.mu.Unlock()
	close(s.hail)
	s.hail = make(chan struct{})
}

// Sounding shows which outputs are on.
func (s *Server) Sounding(outputs []string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !slices.Equal(s.sounding, outputs) {
		s.sounding = slices.Clone(outputs)
		s.publish(EventTalk, nil)
	}
}

// Draws tells that a signature can be drawn on a phone.
func (s *Server) Draws() bool { return true }

// TakeBack lets the terminal hold the questions.
func (s *Server) TakeBack() {
	s.holding.Lock()
	defer s.holding.Unlock()
	s.mu.Lock()
	there := s.away
	s.mu.Unlock()
	if !there {
		s.give(nil)
	}
}

// Holder is the device that holds the questions, "" for none.
func (s *Server) Holder() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.holder == nil {
		return ""
	}
	return s.holder.device
}
