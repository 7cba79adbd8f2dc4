package phone

import (
	"crypto/rand"
	"encoding/base64"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// Config is what a Server needs.
type Config struct {
	Language words.Language
	// Hosts are the values of Host that are answered, exactly: address:port.
	Hosts []string
	// TLS tells that the page is served over it, so that cookies are kept to it.
	TLS bool
	// Texts is what the page itself says, by its codes.
	Texts map[string]string
	// Simulated tells that the visit is an exercise.
	Simulated bool
	// Terminal tells that there is a terminal, which the questions can be given back to.
	Terminal bool
	// Kept is what Keep was given in an earlier run of the visit: the phones that were paired
	// then go on. Nil for none.
	Kept []byte
	// Keep keeps the phones for when the visit goes on, nil for when it does not; it may be
	// nil.
	Keep func(phones []byte) error
}

// Tokens are what the two addresses of a run end with. The server keeps their hashes only.
type Tokens struct{ Technician, Onlooker string }

// Server shows a visit on phones and takes what is answered there. It implements
// ask.Device and ask.Shower. One technician's phone holds the questions at a time; which
// one the phones settle among themselves. Make one with New.
type Server struct {
	Config
	say    words.Language
	run    string    // names this run to the page
	zero   time.Time // of the clock that the phones are told
	tokens map[hash]Role
	cookie string // its name

	// holding is held while the questions change hands, and for reading while something is
	// delivered that only their holder may send; it is taken before mu.
	holding sync.RWMutex

	// uploads are photographs that are on their way, keeps is full while one is worked on.
	uploads, keeps chan struct{}

	keeping  sync.Mutex // one at a time, the newest last; before mu
	mu       sync.Mutex
	number   int64 // that was given last, to an event or a talk
	kept     []event
	news     chan struct{} // closed with the next event
	hail     chan struct{} // closed when pages are to be heard of
	now      *talk         // what stands, nil for nothing
	sounding []string
	board    *Board
	boarded  ask.Board
	sessions map[hash]*session
	holder   *session  // nil for none
	vacant   time.Time // since when there is none any more; zero if there was none yet
	away     bool      // the terminal holds the questions
	moved    func(to record.Held)
	told     func(...ask.Notice)
	does     ask.OutOfTurn
	wrong    map[string]*attempts // tokens, by address
	over     bool
}

// New makes a server, and the tokens of its addresses.
func New(c Config) (*Server, Tokens) {
	t := Tokens{random(16), random(16)}
	s := &Server{
		Config: c, say: c.Language, run: random(8), zero: time.Now(),
		tokens: map[hash]Role{hashOf(t.Technician): Technician, hashOf(t.Onlooker): Onlooker},
		// Over TLS no page of another port or of plain HTTP can set it; over HTTP one from an
		// earlier run, or from TLS, must not stand in its way.
		cookie: "__Host-visit",
		// The numbers of an earlier run are none of this one, so that whoever comes with one has
		// a gap.
		number:   time.Now().UnixMilli(),
		news:     make(chan struct{}),
		hail:     make(chan struct{}),
		sessions: map[hash]*session{},
		uploads:  make(chan struct{}, mostUploads),
		keeps:    make(chan struct{}, 1),
		wrong:    map[string]*attempts{},
	}
	if !c.TLS {
		s.cookie = "visit-" + s.run
	}
	s.restore(c.Kept)
	return s, t
}

// random is a text that nobody guesses, of that many random bytes.
func random(bytes int) string {
	b := make([]byte, bytes)
	_, _ = rand.Read(b) // it never fails
	return base64.RawURLEncoding.EncodeToString(b)
}

// next is a number that was not given before.
func (s *Server) next() int64 {
	s.number++
	return s.number
}

// Beside tells who stands beside it: moved is called when the questions change hands, before
// any answer of the new holder is taken, and told with what the phones are told of
// themselves. Neither may wait for an answer, or hold the server up.
func (s *Server) Beside(moved func(to record.Held), told func(...ask.Notice)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.moved, s.told = moved, told
}

// Close says the last word to every phone and takes nothing more. What is asked then waits
// for its context.
func (s *Server) Close(last ask.PhonePageOver) {
	s.keeping.Lock()
	defer s.keeping.Unlock()
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.over {
		return
	}
	s.now = nil
	s.publish(EventGone, Notice{Weight: weights[last.Weight()], Text: s.say.Say(last)})
	s.over = true
	if s.Keep != nil && !last.Paused {
		_ = s.Keep(nil) // what stays is of no use once it is old
	}
}
