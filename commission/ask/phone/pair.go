package phone

import (
	"net/http"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/record"
)

// mostDevice is how long a device may describe itself, in characters.
const mostDevice = 80

// pair gives a cookie for a token. The first phone of a technician's holds the questions
// at once, unless the terminal does; one that pairs anew takes its own place.
func (s *Server) pair(w http.ResponseWriter, r *http.Request) {
	var p Pair
	if !s.read(w, r, mostBody, &p) {
		return
	}
	from := origin(r.RemoteAddr)
	role, known := s.find(p.Token)
	if bad, tell := s.tried(from, known); bad.status != 0 {
		if tell {
			s.tellAll(ask.WrongTokens{From: from})
		}
		s.reply(w, bad)
		return
	}
	earlier := s.sessionOf(r)
	secret := random(32)
	of := &session{cookie: hashOf(secret), role: role, device: described(p.Device), heard: time.Now()}

	s.holding.Lock()
	defer s.holding.Unlock()
	s.mu.Lock()
	if earlier != nil && earlier.limited() { // what the browser remembers gives no phone back
		if role != Technician {
			s.mu.Unlock()
			s.reply(w, refused(http.StatusForbidden, ask.WithTheCustomer))
			return
		}
		of.digits, of.tried = earlier.digits, earlier.tried
	}
	if len(s.sessions) >= mostPhones && earlier == nil {
		s.forgetOne(role)
	}
	if len(s.sessions) >= mostPhones && earlier == nil {
		s.mu.Unlock()
		s.reply(w, refused(http.StatusForbidden, ask.TooManyPhones))
		return
	}
	if earlier != nil {
		delete(s.sessions, earlier.cookie)
	}
	s.sessions[of.cookie] = of
	takes := role == Technician && !s.away && (s.holder == nil || s.holder == earlier)
	if earlier != nil && s.holder == earlier && !takes {
		s.holder, s.vacant = nil, earlier.heard
		s.publish(EventTalk, nil)
	}
	s.mu.Unlock()
	s.tellAll(ask.PhonePaired{Device: of.device, Onlooker: role == Onlooker})
	if takes {
		s.give(of)
	}
	s.keep()
	http.SetCookie(w, &http.Cookie{Name: s.cookie, Value: secret, Path: "/", HttpOnly: true, Secure: s.TLS,
		SameSite: http.SameSiteStrictMode})
	write(w, http.StatusOK, Paired{Role: role})
}

// tried counts wrong tokens by where they come from.
func (s *Server) tried(from string, known bool) (bad reply, tell bool) {
	now := time.Now()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.over {
		return refused(http.StatusForbidden, ask.VisitOver), false
	}
	if known { // nobody guesses one: phones of one address do not keep each other out
		return reply{}, false
	}
	by := s.wrong[from]
	if by == nil {
		if len(s.wrong) >= mostOrigins { // nobody has so many: all others are counted as one
			from = ""
		}
		if by = s.wrong[from]; by == nil {
			by = &attempts{}
			s.wrong[from] = by
		}
	}
	if by.stopped(now) {
		return refused(http.StatusTooManyRequests, ask.TokensStopped), false
	}
	return refused(http.StatusForbidden, ask.TokenUnknown), by.failed(now)
}

// forgetOne makes room for a phone of a role: it forgets the one that was not heard of for
// longest, unless it is in use. No number of onlookers keeps a technician out. The lock is
// held.
func (s *Server) forgetOne(comes Role) {
	yields := func(of *session) bool { return comes == Technician && of.role == Onlooker }
	var oldest *session
	for _, of := range s.sessions {
		if of == s.holder || of.limited() {
			continue
		}
		if oldest == nil || yields(of) && !yields(oldest) || yields(of) == yields(oldest) && of.heard.Before(oldest.heard) {
			oldest = of
		}
	}
	if oldest != nil && (yields(oldest) || time.Since(oldest.heard) > 2*beatEvery) {
		delete(s.sessions, oldest.cookie)
	}
}

// described is what a device says it is, as one line.
func described(device string) string {
	text := []rune(oneline.Clean(device))
	return string(text[:min(len(text), mostDevice)])
}

// give lets a phone hold the questions; nil for the terminal. The record has it before any
// answer is taken from there. holding is held.
func (s *Server) give(to *session) {
	s.mu.Lock()
	does, moved := s.does, s.moved
	var told ask.Notice = ask.HeldByTerminal{}
	held := record.Held{By: record.AtTerminal}
	if to != nil {
		told = ask.HeldByPhone{Device: to.device}
		held = record.Held{By: record.OnPhone, Device: to.device}
	}
	s.mu.Unlock()
	if does.Held != nil {
		does.Held(held)
	}
	s.mu.Lock()
	s.holder, s.away = to, to == nil
	s.publish(EventTaken, struct{}{})
	s.publish(EventTalk, nil)
	s.mu.Unlock()
	s.keep()
	if moved != nil {
		moved(held)
	}
	s.tellAll(told)
}
