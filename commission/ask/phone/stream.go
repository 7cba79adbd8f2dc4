package phone

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strconv"
	"time"
)

const (
	beatEvery = 5 * time.Second
	// mostKept bounds the events that a page can resume behind.
	mostKept = 512
	// writeWithin is how long a phone may take no byte before its stream is given up.
	writeWithin = 20 * time.Second
)

// event is something that all phones are told. What a talk is differs between them, so it
// has no data: the one that stands is said when it is sent.
type event struct {
	number int64
	name   string
	data   any
}

// publish gives an event to every stream. The lock is held.
func (s *Server) publish(name string, data any) {
	if s.over {
		return
	}
	s.kept = append(s.kept, event{s.next(), name, data})
	if len(s.kept) > mostKept {
		s.kept = append([]event(nil), s.kept[len(s.kept)-mostKept/2:]...)
	}
	close(s.news)
	s.news = make(chan struct{})
}

// events serves the stream of a phone until it goes, or a newer one of the same phone
// comes.
func (s *Server) events(w http.ResponseWriter, r *http.Request, of *session) {
	after := r.URL.Query().Get("after")
	if last := r.Header.Get("Last-Event-ID"); last != "" {
		after = last
	}
	at, err := strconv.ParseInt(after, 10, 64)
	if err != nil {
		at = 0
	}
	w.Header().Set("Content-Type", "text/event-stream")
	stream := &stream{w: w, rc: http.NewResponseController(w)}
	_ = stream.rc.SetReadDeadline(time.Time{}) // it reads until it goes
	s.mu.Lock()
	of.stream++
	mine := of.stream
	s.mu.Unlock()
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	stream.send(0, EventBeat, struct{}{}) // that it is open is known at once
	for stream.err == nil {
		s.mu.Lock()
		if of.stream != mine || s.sessions[of.cookie] != of {
			s.mu.Unlock()
			return
		}
		events, news, hail, over := s.since(at, of), s.news, s.hail, s.over
		s.mu.Unlock()
		for _, e := range events {
			stream.send(e.number, e.name, e.data)
			at = e.number
		}
		if over {
			return
		}
		select {
		case <-news:
		case <-hail:
			stream.send(0, EventBeat, struct{}{})
		case <-beat.C:
			stream.send(0, EventBeat, struct{}{})
		case <-r.Context().Done():
			return
		}
	}
}

// since are the events behind a number as a phone is told them, after a gap the whole
// state. The lock is held.
func (s *Server) since(at int64, of *session) []event {
	gap := at > s.number || at < s.number && (len(s.kept) == 0 || at < s.kept[0].number-1)
	if of.whole {
		gap, of.whole = true, false
	}
	if gap {
		return s.whole(of)
	}
	var out []event
	talks := 0
	for _, e := range s.kept {
		if e.number > at && e.name == EventTalk {
			talks++
		}
	}
	for _, e := range s.kept {
		switch {
		case e.number <= at:
			continue
		case e.name == EventTalk:
			if talks--; talks > 0 {
				continue // the last one says what stands
			}
			e.data = s.talkFor(of)
		case !of.sees(e.name):
			continue
		}
		out = append(out, e)
	}
	return out
}

// recently is how many of the last notices a page is told that comes without any.
const recently = 8

// whole is the state as events. All but the last have the number of the first, so that a
// page whose stream breaks off between them has a gap again.
func (s *Server) whole(of *session) []event {
	var out []event
	add := func(name string, data any) {
		if of.sees(name) {
			out = append(out, event{s.number, name, data})
		}
	}
	add(EventTalk, s.talkFor(of))
	if s.board != nil {
		add(EventBoard, *s.board)
	}
	var notices []Notice
	for _, e := range s.kept {
		if n, is := e.data.(Notice); is {
			n.Past = true
			notices = append(notices, n)
		}
	}
	for _, n := range notices[max(0, len(notices)-recently):] {
		add(EventNotice, n)
	}
	if s.now != nil && s.now.status != nil && !of.limited() {
		add(EventStatus, *s.now.status)
	}
	if s.over {
		for _, e := range s.kept {
			if e.name == EventGone {
				out = append(out, e)
			}
		}
	}
	for i := range len(out) - 1 {
		out[i].number = 1 // of no event of this run
	}
	return out
}

// stream writes events until one cannot be written.
type stream struct {
	w   http.ResponseWriter
	rc  *http.ResponseController
	err error
}

func (t *stream) send(number int64, name string, data any) {
	if t.err != nil {
		return
	}
	text, err := json.Marshal(data)
	if err != nil {
		panic(err) // of our own types
	}
	_ = t.rc.SetWriteDeadline(time.Now().Add(writeWithin)) // not every writer has one
	id := ""
	if number > 0 {
		id = fmt.Sprintf("id: %d\n", number)
	}
	if _, t.err = fmt.Fprintf(t.w, "%sevent: %s\ndata: %s\n\n", id, name, text); t.err == nil {
		t.err = t.rc.Flush()
	}
}
