package phone

import (
	"encoding/json"
	"errors"
	"net/http"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// may tells what a phone may not do now; nil for nothing. A customer may answer their own
// questions only. The lock is held.
func (s *Server) may(of *session, t *talk) *reply {
	var r reply
	switch {
	case s.over:
		r = refused(http.StatusConflict, ask.VisitOver)
	case of.role != Technician:
		r = refused(http.StatusForbidden, ask.OnlyLooksOn)
	case of.limited() && !s.forCustomer(t):
		r = refused(http.StatusForbidden, ask.WithTheCustomer)
	case s.away || s.holder != of:
		r = refused(http.StatusConflict, ask.NotTheHolder)
	default:
		return nil
	}
	return &r
}

// answer takes the answer to the question that stands.
func (s *Server) answer(w http.ResponseWriter, r *http.Request, of *session) {
	var a Reply
	if !s.read(w, r, mostAnswer, &a) {
		return
	}
	s.reply(w, of.taken.once(a.Key, func() reply { return s.answered(of, a) }))
}

func (s *Server) answered(of *session, a Reply) reply {
	s.mu.Lock()
	t := s.now
	bad := s.may(of, t)
	customer := of.limited()
	s.mu.Unlock()
	switch {
	case bad != nil:
		return *bad
	case t == nil || t.serial != a.Serial || t.asked == nil:
		return stale
	}
	q := *t.asked
	if customer {
		q = handedOver(q)
	}
	given, err := s.accepted(q, a)
	if err != nil {
		return refused(http.StatusUnprocessableEntity, ask.Verbatim(typed.Refusal(s.say, err)))
	}
	given.Shown = t.shown
	return s.deliver(of, t, func() bool {
		select {
		case t.answers <- answered{answer: given}:
			return true
		case <-t.done:
			return false
		}
	})
}

// deliver gives something to whoever waits, if the phone still may.
func (s *Server) deliver(of *session, t *talk, give func() bool) reply {
	s.holding.RLock()
	defer s.holding.RUnlock()
	s.mu.Lock()
	bad := s.may(of, t)
	s.mu.Unlock()
	if bad != nil {
		return *bad
	}
	if !give() {
		return stale
	}
	return ok
}

func (s *Server) accepted(q ask.Question, a Reply) (ask.Answer, error) {
	switch {
	case a.Redo:
		return q.Accept(ask.RedoWord)
	case len(a.Strokes) > 0 && string(a.Strokes) != "null":
		var strokes record.Strokes
		if err := json.Unmarshal(a.Strokes, &strokes); err != nil {
			return ask.Answer{}, errors.New("the drawing cannot be read")
		}
		return q.AcceptStrokes(strokes)
	}
	return q.Accept(typed.Meant(s.say, q, a.Text))
}

// press takes a key of the watch that stands, or a tap that was kept until the phone was
// back.
func (s *Server) press(w http.ResponseWriter, r *http.Request, of *session) {
	arrived := time.Now()
	var p Touched
	if !s.read(w, r, mostBody, &p) {
		return
	}
	s.reply(w, of.taken.once(p.Key, func() reply {
		if p.Tap != nil { // of those that it keeps, this one is here
			s.mu.Lock()
			of.kept = max(0, of.kept-1)
			s.mu.Unlock()
		}
		return s.pressed(of, p, arrived, r.Context().Done())
	}))
}

// timing are the keys whose instant means something: without a tap it is not known, since
// the network delays them by as much as it likes.
var timing = []ask.Key{ask.Ready, ask.Indicated, ask.AtRest, ask.Heard, ask.Stopped, ask.Touch,
	ask.Begun, ask.IsSet, ask.Opened, ask.WentOff, ask.Sounds, ask.Flashes, ask.IsUnset}

func (s *Server) pressed(of *session, p Touched, arrived time.Time, gone <-chan struct{}) reply {
	key := ask.Key(p.Press)
	s.mu.Lock()
	customer := of.limited()
	s.mu.Unlock()
	if customer {
		return refused(http.StatusForbidden, ask.WithTheCustomer)
	}
	if key == ask.Quiet {
		if r, done := s.quiet(of); done {
			return r
		}
	}
	given := ask.Pressed{Key: key, To: site.Point(p.To)}
	switch {
	case p.Tap != nil:
		if why := s.timed(&given, p.Tap, arrived); why != nil {
			return refused(http.StatusUnprocessableEntity, why)
		}
	case slices.Contains(timing, key):
		given.NotTimed = record.ClockUnknown
	}
	if p.Until != nil {
		until, uncertainty, _, why, refusal := s.instant(p.Until, arrived)
		switch {
		case refusal != nil:
			return refused(http.StatusUnprocessableEntity, refusal)
		case why != "":
			given.NotTimed = why
		case given.NotTimed == "" && until.Add(uncertainty).Before(given.At):
			return refused(http.StatusUnprocessableEntity, ask.NotUnderstood)
		default:
			given.Until = until
		}
	}
	t, r := s.watchFor(of, p, gone)
	if t == nil {
		return r
	}
	if key == ask.Interrupted {
		return s.pause(of, t)
	}
	return s.deliver(of, t, func() bool {
		select {
		case t.keys <- given:
			return true
		case <-t.done:
			return false
		}
	})
}

// pause breaks the visit off, whatever stands.
func (s *Server) pause(of *session, t *talk) reply {
	return s.deliver(of, t, func() bool {
		select {
		case t.answers <- answered{err: ask.ErrPaused}:
		case t.keys <- ask.Pressed{Key: ask.Interrupted}:
		case <-t.done:
			return false
		}
		return true
	})
}

// keptWait is how long a tap that was kept waits for its turn before the phone is told to
// send it again: less than a phone, or what stands between, waits for an answer.
const keptWait = 20 * time.Second

// watchFor is the watch that a key is for, or what the phone is answered. A tap that was
// kept waits for the one of its detector.
func (s *Server) watchFor(of *session, p Touched, gone <-chan struct{}) (*talk, reply) {
	wait := time.NewTimer(keptWait)
	defer wait.Stop()
	for {
		s.mu.Lock()
		t, news := s.now, s.news
		bad := s.may(of, t)
		concluded := p.Serial == 0 && slices.Contains([]ask.Standing{ask.ProvedStanding, ask.ReportedStanding,
			ask.LeftOutStanding}, s.standing(p.Expects))
		s.mu.Unlock()
		fits := t != nil && t.expects(p)
		switch {
		case bad != nil:
			return nil, *bad
		case p.Serial != 0 && (t == nil || t.serial != p.Serial || !fits):
			return nil, stale
		case p.Serial == 0 && !fits && concluded:
			return nil, stale
		case fits && !t.offers(ask.Key(p.Press)):
			return nil, refused(http.StatusUnprocessableEntity, ask.NoSuchKey)
		case fits:
			return t, reply{}
		}
		select {
		case <-news:
		case <-gone:
			return nil, reply{status: http.StatusServiceUnavailable, taken: Taken{Later: true}}
		case <-wait.C:
			return nil, reply{status: http.StatusServiceUnavailable, taken: Taken{Later: true}}
		}
	}
}

// expects tells whether a key may be for what stands. One that goes by its detector is for
// no other, and for no question, and names it, except while roaming; to pause is for anything.
func (t *talk) expects(p Touched) bool {
	if ask.Key(p.Press) == ask.Interrupted {
		return true
	}
	if t.watch == nil {
		return false
	}
	its := p.Expects == "" && p.Serial != 0 || t.watch.Kind == watchRoam || t.watch.Point == p.Expects
	if p.Serial == 0 {
		return its && t.offers(ask.Key(p.Press)) && (t.watch.Kind == watchReady || t.watch.Kind == watchRoam)
	}
	return its
}

// offers tells whether a key can be pressed.
func (t *talk) offers(k ask.Key) bool {
	return k == ask.Interrupted || t.watched != nil && slices.Contains(t.watched.Keys, k)
}

// quiet switches off what sounds, at once and whoever holds the questions. done is false
// where nobody does that out of turn: then it is a key as any other.
func (s *Server) quiet(of *session) (r reply, done bool) {
	s.mu.Lock()
	quiet, sounds := s.does.Quiet, len(s.sounding) > 0
	role, over := of.role, s.over
	s.mu.Unlock()
	switch {
	case role != Technician:
		return refused(http.StatusForbidden, ask.OnlyLooksOn), true
	case over:
		return refused(http.StatusConflict, ask.VisitOver), true
	case quiet == nil:
		return reply{}, false
	case !sounds:
		return refused(http.StatusConflict, ask.NothingSounds), true
	}
	quiet()
	return ok, true
}

// photo keeps a photograph.
func (s *Server) photo(w http.ResponseWriter, r *http.Request, of *session) {
	query := r.URL.Query()
	key := query.Get("key")
	if key == "" || len(key) > mostKey {
		s.reply(w, refused(http.StatusBadRequest, ask.NotUnderstood))
		return
	}
	may := func() (func(record.About, string, []byte) (string, error), *reply) {
		s.mu.Lock()
		defer s.mu.Unlock()
		if of.limited() {
			r := refused(http.StatusForbidden, ask.WithTheCustomer)
			return nil, &r
		}
		return s.does.Photograph, s.may(of, nil)
	}
	if _, bad := may(); bad != nil { // before it is read
		s.reply(w, *bad)
		return
	}
	select {
	case s.uploads <- struct{}{}:
		defer func() { <-s.uploads }()
	default:
		s.reply(w, reply{status: http.StatusServiceUnavailable, taken: Taken{Later: true}})
		return
	}
	rc := http.NewResponseController(w)
	_ = rc.SetReadDeadline(time.Now().Add(photoWithin))
	file, bad := bounded(w, r, mostPhoto)
	if bad.status != 0 {
		s.reply(w, bad)
		return
	}
	_ = rc.SetReadDeadline(time.Time{})
	s.reply(w, of.taken.once(key, func() reply {
		s.keeps <- struct{}{} // a picture takes a processor, and much memory
		defer func() { <-s.keeps }()
		keep, bad := may()
		switch {
		case bad != nil:
			return *bad
		case keep == nil:
			return refused(http.StatusConflict, ask.NoPhotographNow)
		}
		name, err := keep(record.About(query.Get("subject")), query.Get("caption"), file)
		if err != nil {
			return refused(http.StatusUnprocessableEntity, ask.Verbatim(typed.Refusal(s.say, err)))
		}
		return reply{taken: Taken{OK: true, Name: name}}
	}))
}
