package phone

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/photograph"
)

const (
	mostBody   = 16 << 10
	mostAnswer = 512 << 10 // the strokes of a signature
	readWithin = 30 * time.Second
	// photoWithin lets a photograph through a slow wireless.
	photoWithin = 5 * time.Minute
)

// Handler is the page and all that it asks for, guarded: only by one of the names that the
// page has been given, only from the page itself, and only by paired phones.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", file)
	mux.HandleFunc("GET /{file}", file)
	mux.HandleFunc("POST /pair", s.pair)
	mux.HandleFunc("GET /texts", func(w http.ResponseWriter, _ *http.Request) { write(w, http.StatusOK, s.Texts) })
	mux.HandleFunc("GET /events", s.paired(s.events))
	mux.HandleFunc("POST /clock", s.paired(s.clock))
	mux.HandleFunc("POST /answer", s.paired(s.answer))
	mux.HandleFunc("POST /press", s.paired(s.press))
	mux.HandleFunc("POST /photo", s.paired(s.photo))
	mux.HandleFunc("POST /hold", s.paired(s.hold))
	mux.HandleFunc("POST /hand", s.paired(s.hand))
	ours := http.NewCrossOriginProtection().Handler(mux)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(photoWithin + writeWithin)) // whatever it is
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "+
			"connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cache-Control", "no-store")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if !slices.Contains(s.Hosts, r.Host) { // a name that somebody else has made lead here
			http.Error(w, "", http.StatusMisdirectedRequest)
			return
		}
		scheme := map[bool]string{true: "https://", false: "http://"}[s.TLS]
		if from := r.Header.Get("Origin"); from != "" && from != scheme+r.Host { // plain HTTP is anybody's
			http.Error(w, "", http.StatusForbidden)
			return
		}
		ours.ServeHTTP(w, r)
	})
}

// paired serves who is, and only what the page itself asks for: a stream, too, takes the
// place of another.
func (s *Server) paired(serve func(http.ResponseWriter, *http.Request, *session)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if by := r.Header.Get("Sec-Fetch-Site"); by != "" && by != "same-origin" {
			http.Error(w, "", http.StatusForbidden)
			return
		}
		of := s.sessionOf(r)
		if of == nil {
			s.reply(w, refused(http.StatusUnauthorized, ask.NotPaired))
			return
		}
		serve(w, r, of)
	}
}

// sessionOf is whose cookie a request has, nil for nobody's.
func (s *Server) sessionOf(r *http.Request) *session {
	cookie, err := r.Cookie(s.cookie)
	if err != nil {
		return nil
	}
	key := hashOf(cookie.Value)
	s.mu.Lock()
	defer s.mu.Unlock()
	of := s.sessions[key]
	if of != nil {
		of.heard = time.Now()
	}
	return of
}

// reply is what became of what was sent. why, if not nil, is said.
type reply struct {
	status int // 0 for OK
	why    ask.Phrase
	taken  Taken
}

var (
	ok    = reply{taken: Taken{OK: true}}
	stale = reply{taken: Taken{Stale: true}}
)

func refused(status int, why ask.Phrase) reply { return reply{status: status, why: why} }

func (s *Server) reply(w http.ResponseWriter, r reply) {
	if r.why != nil {
		r.taken.Refused = s.say.Say(r.why)
	}
	if r.status == 0 {
		r.status = http.StatusOK
	}
	write(w, r.status, r.taken)
}

func write(w http.ResponseWriter, status int, body any) {
	w.Header().Set("Content-Type", "application/json")
	taking(w)
	w.WriteHeader(status)
	_ = json.NewEncoder(w).Encode(body) // who has gone is told nothing
}

// taking bounds how long whoever asked may take to receive an answer, from now on.
func taking(w http.ResponseWriter) {
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(writeWithin)) // not every one has it
}

// read reads the body into what is expected, or answers why it cannot.
func (s *Server) read(w http.ResponseWriter, r *http.Request, most int64, into any) bool {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(readWithin)) // not every one has it
	body, bad := bounded(w, r, most)
	if bad.status == 0 && decode(body, into) != nil {
		bad = refused(http.StatusBadRequest, ask.NotUnderstood)
	}
	if bad.status != 0 {
		s.reply(w, bad) // the rest of the body has no more time than that
		return false
	}
	_ = http.NewResponseController(w).SetReadDeadline(time.Time{})
	return true
}

// bounded is a body of no more than so many bytes.
func bounded(w http.ResponseWriter, r *http.Request, most int64) ([]byte, reply) {
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	switch {
	case errors.As(err, new(*http.MaxBytesError)):
		return nil, refused(http.StatusRequestEntityTooLarge, ask.BodyTooLarge)
	case err != nil:
		return nil, refused(http.StatusBadRequest, ask.NotUnderstood)
	}
	return body, reply{}
}

// mostKey bounds what names a thing that was sent.
const mostKey = 64

// decode reads one JSON value; what is sent under a key has one.
func decode(body []byte, into any) error {
	if err := json.Unmarshal(body, into); err != nil {
		return err
	}
	if keyed, is := into.(interface{ key() string }); is && (keyed.key() == "" || len(keyed.key()) > mostKey) {
		return errors.New("no key")
	}
	return nil
}

func (r *Reply) key() string   { return r.Key }
func (t *Touched) key() string { return t.Key }
func (h *Hold) key() string    { return h.Key }
func (h *Hand) key() string    { return h.Key }

const (
	// mostPhoto is the largest photograph that is read.
	mostPhoto = photograph.MaxBytes
	// mostUploads is how many are read at once: a phone sends one after the other.
	mostUploads = 3
)
