package phone

import (
	"crypto/sha256"
	"crypto/subtle"
	"sync"
	"time"

	"loopwitness/commission/ask"
)

type hash [sha256.Size]byte

func hashOf(secret string) hash { return sha256.Sum256([]byte(secret)) }

// session is a paired phone. Its fields are guarded by the server's lock.
type session struct {
	cookie hash
	role   Role
	device string
	kept   int // touches that it said to have, and not to have delivered yet
	heard  time.Time
	stream int  // how many streams it has opened
	whole  bool // the next event is the whole state
	// digits give the phone back to the technician, nil while they have it.
	digits *hash
	tried  attempts
	taken  outcomes
}

// limited tells whether it is told, and may do, nothing but what the customer is asked.
func (of *session) limited() bool { return of.digits != nil }

// as is what the phone may do now.
func (of *session) as() Role {
	if of.limited() {
		return Customer
	}
	return of.role
}

// sees tells whether it is told an event of that name.
func (of *session) sees(name string) bool {
	switch name {
	case EventTalk, EventTaken, EventGone:
		return true
	case EventStatus:
		return of.as() == Technician
	}
	return !of.limited()
}

// attempts counts what was wrong: after a few, whoever tries has to wait.
type attempts struct {
	wrong int
	until time.Time
	told  bool
}

const (
	mostWrong   = 5
	wrongWait   = time.Minute
	mostPhones  = 16
	mostOrigins = 256
)

// stopped tells whether nothing is tried now.
func (a *attempts) stopped(now time.Time) bool { return now.Before(a.until) }

// failed counts one more, and tells whether it is the first that has to wait, which is
// told once.
func (a *attempts) failed(now time.Time) (tell bool) {
	if a.wrong++; a.wrong < mostWrong {
		return false
	}
	a.wrong, a.until = 0, now.Add(wrongWait)
	tell, a.told = !a.told, true
	return tell
}

// find is the role of a token; each is compared, in the same time whatever it is.
func (s *Server) find(token string) (Role, bool) {
	tried := hashOf(token)
	found := Role("")
	for is, role := range s.tokens {
		if subtle.ConstantTimeCompare(tried[:], is[:]) == 1 {
			found = role
		}
	}
	return found, found != ""
}

// tellAll lets every phone, and through the desk the terminal, know. Not under the lock.
func (s *Server) tellAll(notices ...ask.Notice) {
	s.mu.Lock()
	told := s.told
	s.mu.Unlock()
	s.Tell(notices...)
	if told != nil {
		told(notices...)
	}
}

// outcomes are what became of what a phone has sent, by its keys: what comes twice is done
// once.
type outcomes struct {
	mu   sync.Mutex
	of   map[string]*outcome
	keys []string
}

type outcome struct {
	done  chan struct{}
	taken Taken
	final bool
}

// mostOutcomes is how many are remembered, of each phone.
const mostOutcomes = 1024

// once does something unless it was done for that key before, and tells what came of it
// then. Whoever comes meanwhile waits for it. What was refused, or is to come again, is
// tried anew the next time.
func (o *outcomes) once(key string, do func() reply) reply {
	for {
		o.mu.Lock()
		before := o.of[key]
		if before == nil {
			break
		}
		o.mu.Unlock()
		<-before.done
		if before.final {
			return reply{taken: before.taken}
		}
	}
	if o.of == nil {
		o.of = map[string]*outcome{}
	}
	mine := &outcome{done: make(chan struct{})}
	o.of[key] = mine
	o.mu.Unlock()
	var r reply
	defer func() { // also where it panics: whoever waits goes on
		o.mu.Lock()
		defer o.mu.Unlock()
		o.conclude(key, mine, r)
		close(mine.done)
	}()
	r = do()
	return r
}

// conclude remembers what is final, and nothing else. The lock is held.
func (o *outcomes) conclude(key string, mine *outcome, r reply) {
	if mine.final = r.taken.OK || r.taken.Stale; !mine.final {
		delete(o.of, key)
		return
	}
	mine.taken = r.taken
	if o.keys = append(o.keys, key); len(o.keys) > mostOutcomes {
		delete(o.of, o.keys[0])
		o.keys = o.keys[1:]
	}
}
