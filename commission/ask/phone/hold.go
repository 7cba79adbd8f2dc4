package phone

import (
	"crypto/subtle"
	"net/http"
	"strings"
	"time"

	"loopwitness/commission/ask"
)

// hold lets a phone take the questions, or give them back to the terminal.
func (s *Server) hold(w http.ResponseWriter, r *http.Request, of *session) {
	var h Hold
	if !s.read(w, r, mostBody, &h) {
		return
	}
	s.reply(w, of.taken.once(h.Key, func() reply { return s.held(of, h) }))
}

func (s *Server) held(of *session, h Hold) reply {
	s.holding.Lock()
	defer s.holding.Unlock()
	s.mu.Lock()
	mine := !s.away && s.holder == of
	others := s.away || s.holder != nil && !mine
	from := ""
	if s.holder != nil {
		from = s.holder.device
	}
	over, customer := s.over, of.limited()
	s.mu.Unlock()
	switch {
	case over:
		return refused(http.StatusConflict, ask.VisitOver)
	case of.role != Technician:
		return refused(http.StatusForbidden, ask.OnlyLooksOn)
	case customer:
		return refused(http.StatusForbidden, ask.WithTheCustomer)
	case h.Give && !s.Terminal:
		return refused(http.StatusConflict, ask.NoTerminal)
	case h.Give && !mine:
		return refused(http.StatusConflict, ask.NotTheHolder)
	case h.Give:
		s.give(nil)
		return ok
	case mine:
		return ok
	case others && !h.Sure:
		return refused(http.StatusConflict, ask.TakeFrom{Device: from})
	}
	s.give(of)
	return ok
}

// hand gives the phone to the customer: until the digits are given, nothing but the
// customer's own questions is shown and taken.
func (s *Server) hand(w http.ResponseWriter, r *http.Request, of *session) {
	var h Hand
	if !s.read(w, r, mostBody, &h) {
		return
	}
	s.reply(w, of.taken.once(h.Key, func() reply { return s.handed(of, h) }))
}

func (s *Server) handed(of *session, h Hand) reply {
	digits := hashOf(h.Code)
	now := time.Now()
	s.mu.Lock()
	bad := s.mayHand(of, h, digits, now)
	var tell []ask.Notice
	switch {
	case bad == nil && h.Back:
		of.digits, of.tried, of.whole = nil, attempts{}, true
		tell = append(tell, ask.PhoneHandedOver{Back: true})
	case bad == nil:
		of.digits, of.tried = &digits, attempts{}
		tell = append(tell, ask.PhoneHandedOver{})
	case bad.why == ask.CodeWrong && of.tried.failed(now):
		tell = append(tell, ask.WrongCodes{})
	}
	if bad == nil {
		s.publish(EventTalk, nil)
	}
	s.mu.Unlock()
	s.keep()
	s.tellAll(tell...)
	if bad != nil {
		return *bad
	}
	return ok
}

// mayHand is why the phone is not handed over, or back; nil for nothing. The lock is held.
func (s *Server) mayHand(of *session, h Hand, digits hash, now time.Time) *reply {
	refuse := func(status int, why ask.Phrase) *reply {
		r := refused(status, why)
		return &r
	}
	switch {
	case s.over:
		return refuse(http.StatusConflict, ask.VisitOver)
	case of.role != Technician:
		return refuse(http.StatusForbidden, ask.OnlyLooksOn)
	case len(h.Code) != 4 || strings.Trim(h.Code, "0123456789") != "":
		return refuse(http.StatusUnprocessableEntity, ask.CodeForm)
	case !h.Back && of.limited():
		return refuse(http.StatusForbidden, ask.WithTheCustomer)
	case !h.Back && (s.away || s.holder != of):
		return refuse(http.StatusConflict, ask.NotTheHolder)
	case !h.Back && len(s.sounding) > 0:
		return refuse(http.StatusConflict, ask.SoundsStill)
	case !h.Back, !of.limited():
		return nil
	case of.tried.stopped(now):
		return refuse(http.StatusTooManyRequests, ask.CodesStopped)
	case subtle.ConstantTimeCompare(digits[:], of.digits[:]) != 1:
		return refuse(http.StatusForbidden, ask.CodeWrong)
	}
	return nil
}
