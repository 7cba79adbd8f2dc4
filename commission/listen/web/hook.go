package web

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"os"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/signal"
)

const (
	// uncertainty of a response, expanded: what the computer adds to a time, as over MQTT.
	uncertainty = 50 * time.Millisecond
	// prompt is how long a call may take from its first byte to its last and still count as having come
	// with the first. One that takes longer came when it was whole.
	prompt = 500 * time.Millisecond

	headersWithin = 5 * time.Second
	wholeWithin   = 10 * time.Second
	idleFor       = 2 * time.Minute
	keptWithin    = 5 * time.Second // a disk that needs longer is not waited for
	closeWithin   = 500 * time.Millisecond
	mostHeaders   = 16<<10 - 4096 // net/http adds 4096

	mostCalls  = 1000 // at a time
	smallBody  = 16 << 10
	largeCalls = 32 // at a time, whose bodies are larger

	mostWrong  = 20 // wrong tokens within wrongFor, after which they are told to wait
	wrongFor   = time.Minute
	retryAfter = "2" // s
)

// Hook is a source that the controller calls. It implements signal.Source.
type Hook struct {
	config      HookConfig
	clock       clock.Clock
	token, path [sha256.Size]byte
	watch       func(Came) // nil for nobody
	server      *http.Server
	ctx         context.Context
	end         context.CancelFunc
	at          net.Addr
	serving     sync.WaitGroup

	calls, large chan struct{}

	// Calls that were turned away, see signal.Refused.
	secrets, paths, hosts, methods, practice, bodies, parts atomic.Int64

	mu      sync.Mutex // of all below, and held while something is delivered: in order
	to      signal.Receiver
	repeats *repeats
	wrong   int
	since   time.Time // the first of wrong
	missed  time.Time // when it was told last that calls were not read
}

// Came is a call, as somebody is shown it who watches. No secret is in it.
type Came struct {
	At       time.Time
	Took     time.Duration // from its first byte to At, where that was long
	Path     string        // after the secret
	Body     string        // quoted, shortened
	Status   int           // of the answer
	Why      string        // the line of the answer, "" for a good one
	Says     []signal.Signal
	Itself   []signal.System
	Presence bool // the controller told whether it is there
	Repeated bool
	// Understood tells that the rules know all that it says.
	Understood bool
}

// NewHook makes a source; nothing listens before Start. Signals are stamped by the clock.
func NewHook(c HookConfig, by clock.Clock) *Hook {
	return &Hook{config: c, clock: by, token: sha256.Sum256([]byte(c.Token)), path: sha256.Sum256([]byte(c.Secret)),
		repeats: newRepeats(c.RepeatsWithin), calls: make(chan struct{}, mostCalls), large: make(chan struct{}, largeCalls)}
}

// Watch tells each call, also those that are refused, on goroutines of their own. It has to be called
// before Start.
func (h *Hook) Watch(f func(Came)) { h.watch = f }

// About describes the source.
func (h *Hook) About() signal.Listening {
	return signal.Listening{Way: signal.OverHook, TimedBy: signal.ByComputer, UncertaintyNS: uncertainty.Nanoseconds(),
		Simulated: h.config.Practice, Tells: tells(ofItself(h.config.System))}
}

// Start listens; it fails where that cannot be done.
func (h *Hook) Start(ctx context.Context, to signal.Receiver) error {
	l, err := (&net.ListenConfig{}).Listen(ctx, "tcp", h.config.At)
	if err != nil {
		return fmt.Errorf("listen for web hooks at %s: %w", h.config.At, err)
	}
	if err := h.Serve(l, to); err != nil {
		return errors.Join(err, l.Close())
	}
	return nil
}

// Serve is Start at a listener, which Close closes.
func (h *Hook) Serve(l net.Listener, to signal.Receiver) error {
	secure, err := h.config.tls()
	if err != nil {
		return err
	}
	h.to, h.at = to, l.Addr()
	h.ctx, h.end = context.WithCancel(context.Background())
	stamping := &listener{Listener: l, clock: h.clock, secure: secure != nil, most: mostConnections,
		all: map[*conn]bool{}}
	const mostStreams, window = 16, 64 << 10
	h.server = &http.Server{Handler: http.HandlerFunc(h.call), TLSConfig: secure, ReadHeaderTimeout: headersWithin,
		ReadTimeout: wholeWithin, WriteTimeout: wholeWithin + keptWithin + closeWithin, IdleTimeout: idleFor,
		MaxHeaderBytes: mostHeaders, ConnState: stamping.state, ConnContext: withConn,
		ErrorLog: log.New(io.Discard, "", 0),
		HTTP2: &http.HTTP2Config{MaxConcurrentStreams: mostStreams, MaxReceiveBufferPerStream: window,
			MaxReceiveBufferPerConnection: 4 * window}}
	h.serving.Go(func() {
		if secure != nil {
			_ = h.server.ServeTLS(stamping, "", "")
			return
		}
		_ = h.server.Serve(stamping)
	})
	return nil
}

// Refused are the calls that were turned away. It implements signal.Refusing.
func (h *Hook) Refused() signal.Refused {
	return signal.Refused{Secrets: int(h.secrets.Load()), Paths: int(h.paths.Load()), Hosts: int(h.hosts.Load()),
		Methods: int(h.methods.Load()), Practice: int(h.practice.Load()), Bodies: int(h.bodies.Load()),
		Parts: int(h.parts.Load())}
}

// Addr is where it listens.
func (h *Hook) Addr() net.Addr { return h.at }

// errKeyExposed says that others can read the key of TLS.
var errKeyExposed = errors.New("the key of TLS can be read by others; run: chmod 600")

func (c *HookConfig) tls() (*tls.Config, error) {
	if c.CertFile == "" {
		return nil, nil
	}
	if info, err := os.Stat(c.KeyFile); err == nil && info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows" {
		return nil, fmt.Errorf("%w %s", errKeyExposed, c.KeyFile)
	}
	const longest = 1 << 20
	cert, err := readfile.All(c.CertFile, longest)
	if err != nil {
		return nil, fmt.Errorf("read the certificate of TLS: %w", err)
	}
	key, err := readfile.All(c.KeyFile, longest)
	if err != nil {
		return nil, fmt.Errorf("read the key of TLS: %w", err)
	}
	pair, err := tls.X509KeyPair(cert, key)
	if err != nil {
		return nil, errors.New("cert_file and key_file are no certificate with its key in PEM form")
	}
	return &tls.Config{MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{pair}}, nil
}

// Close ends listening. Who waits for an answer is told that nothing was kept.
func (h *Hook) Close() error {
	if h.server == nil {
		return nil
	}
	h.end()
	defer h.serving.Wait() // who listens here next finds the port free
	ctx, cancel := context.WithTimeout(context.Background(), closeWithin)
	defer cancel()
	if h.server.Shutdown(ctx) != nil {
		return h.server.Close()
	}
	return nil
}

// refusal is an answer that is no success.
type refusal struct {
	status int
	why    string
	again  string // s after which to try again, "" for never
}

func (h *Hook) call(w http.ResponseWriter, r *http.Request) {
	c := connOf(r.Context())
	came := Came{At: c.stamp(r.ProtoMajor)}
	no := h.take(w, r, c, &came)
	if came.Status = http.StatusNoContent; no != nil {
		came.Status, came.Why = no.status, no.why
		no.answer(w)
	} else {
		w.WriteHeader(http.StatusNoContent)
	}
	if h.watch != nil {
		h.watch(came)
	}
}

func (no *refusal) answer(w http.ResponseWriter) {
	if no.again != "" {
		w.Header().Set("Retry-After", no.again)
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Header().Set("X-Content-Type-Options", "nosniff")
	w.WriteHeader(no.status)
	_, _ = io.WriteString(w, no.why+"\n")
}

// take takes a call, and waits until what it said is durable.
func (h *Hook) take(w http.ResponseWriter, r *http.Request, c *conn, came *Came) *refusal {
	// What is left unread of a body would be taken for the beginning of the next request.
	w.Header().Set("Connection", "close")
	path, pointed, no := h.admit(w, r)
	if came.Path = path; no != nil {
		return no
	}
	k, err := kindOf(r.Header.Get("Content-Type"))
	if err != nil || r.Header.Get("Content-Encoding") != "" {
		return h.untaken(&refusal{http.StatusUnsupportedMediaType, errType.Error(), ""})
	}
	select {
	case h.calls <- struct{}{}:
		defer func() { <-h.calls }()
	default:
		h.unread(came.At)
		return &refusal{http.StatusServiceUnavailable, "too many calls at a time", retryAfter}
	}
	body, no := h.body(w, r, came.At)
	whole, isPrompt := c.over(r.ProtoMajor, came.At)
	if no != nil {
		return h.untaken(no)
	}
	w.Header().Del("Connection")
	came.Body = quoted(body)
	if !isPrompt {
		came.Took, came.At = whole.Sub(came.At), whole
	}
	if k == asForm && looksLikeJSON(body) {
		k = asJSON // as a sender's default type has it
	}
	all, err := items(body, k, h.config.Many, pointed || k != plain)
	if err != nil {
		return h.untaken(&refusal{http.StatusBadRequest, err.Error(), ""})
	}
	var says []told
	came.Understood = true
	silent := 0 // items that say nothing of anything
	for _, item := range all {
		t := h.config.read(path, item)
		if came.Understood = came.Understood && !t.garbled && t.said(); !t.said() {
			silent++
		}
		says = append(says, t)
	}
	switch {
	case silent > 0 && silent == len(all):
		return h.untaken(&refusal{http.StatusBadRequest, "nothing in it is what controller.yaml looks for", ""})
	case silent > 0:
		h.parts.Add(1) // the rest of it is taken
	}
	if k == asForm {
		body = all[0]
	}
	id := h.idOf(r, body)
	return h.deliver(call{id: id, path: path, of: delivery(id, path, body), says: says}, came)
}

// untaken counts a call that was let in, and whose body cannot be taken.
func (h *Hook) untaken(no *refusal) *refusal {
	if no.again == "" {
		h.bodies.Add(1)
	}
	return no
}

// admit tells whether a call is let in: the path after the secret, and whether its rules look into
// JSON.
func (h *Hook) admit(w http.ResponseWriter, r *http.Request) (path string, pointed bool, no *refusal) {
	path = r.URL.Path
	if h.config.Secret != "" {
		first, rest, _ := strings.Cut(strings.TrimPrefix(path, "/"), "/")
		given := sha256.Sum256([]byte(first))
		path = "/" + rest
		if subtle.ConstantTimeCompare(given[:], h.path[:]) != 1 {
			return "", false, h.wrongly(http.StatusNotFound, "no such path")
		}
	}
	if h.config.Token != "" {
		scheme, token, _ := strings.Cut(r.Header.Get("Authorization"), " ")
		given := sha256.Sum256([]byte(strings.TrimSpace(token)))
		if subtle.ConstantTimeCompare(given[:], h.token[:]) != 1 || !strings.EqualFold(scheme, "Bearer") {
			w.Header().Set("WWW-Authenticate", "Bearer")
			return "", false, h.wrongly(http.StatusUnauthorized, "the token is wrong, or missing")
		}
	}
	if !h.hosted(r.Host) {
		h.hosts.Add(1)
		return path, false, &refusal{http.StatusMisdirectedRequest, "this is not the host that was meant", ""}
	}
	ruled, pointed := h.config.ruled(path)
	switch {
	case r.Header.Get(PracticeHeader) != "" && !h.config.Practice:
		h.practice.Add(1)
		return path, false, &refusal{http.StatusForbidden, ErrPractice.Error(), ""}
	case !ruled:
		h.paths.Add(1)
		return path, false, &refusal{http.StatusNotFound, "no rule of controller.yaml is about this path", ""}
	case r.Method != http.MethodPost && r.Method != http.MethodPut:
		h.methods.Add(1)
		w.Header().Set("Allow", "POST, PUT")
		return path, false, &refusal{http.StatusMethodNotAllowed, "only POST and PUT are taken", ""}
	}
	return path, pointed, nil
}

// wrongly counts a call that does not know the secret. One that does is let in whatever others do.
func (h *Hook) wrongly(status int, why string) *refusal {
	h.secrets.Add(1)
	h.mu.Lock()
	defer h.mu.Unlock()
	now := h.clock.Now()
	if now.Sub(h.since) > wrongFor {
		h.wrong, h.since = 0, now
	}
	if h.wrong++; h.wrong > mostWrong {
		return &refusal{http.StatusTooManyRequests, "too many wrong calls", fmt.Sprint(int(wrongFor.Seconds()))}
	}
	return &refusal{status, why, ""}
}

// hosted tells whether the host of a call is one that controller.yaml names; all are where it names
// none. What a proxy says of another host is not listened to.
func (h *Hook) hosted(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	for _, known := range h.config.Hosts {
		if strings.EqualFold(known, strings.Trim(host, "[]")) {
			return true
		}
	}
	return len(h.config.Hosts) == 0
}

// body reads the body; few large ones at a time.
func (h *Hook) body(w http.ResponseWriter, r *http.Request, came time.Time) ([]byte, *refusal) {
	if r.ContentLength > mostBytes {
		return nil, &refusal{http.StatusRequestEntityTooLarge, fmt.Sprintf("the body is longer than %d bytes", mostBytes), ""}
	}
	limited := http.MaxBytesReader(w, r.Body, mostBytes)
	body, err := io.ReadAll(io.LimitReader(limited, smallBody))
	if err == nil && len(body) == smallBody {
		select {
		case h.large <- struct{}{}:
			defer func() { <-h.large }()
		default:
			h.unread(came)
			return nil, &refusal{http.StatusServiceUnavailable, "too many large calls at a time", retryAfter}
		}
		var rest []byte
		rest, err = io.ReadAll(limited)
		body = append(body, rest...)
	}
	var long *http.MaxBytesError
	var slow net.Error
	switch {
	case errors.As(err, &long):
		return nil, &refusal{http.StatusRequestEntityTooLarge, fmt.Sprintf("the body is longer than %d bytes", mostBytes), ""}
	case errors.As(err, &slow) && slow.Timeout():
		return nil, &refusal{http.StatusRequestTimeout, "the call took too long", ""}
	case err != nil:
		return nil, &refusal{http.StatusBadRequest, "the call ended before its body did", ""}
	}
	return body, nil
}

// idOf is a call's own id, "" for none.
func (h *Hook) idOf(r *http.Request, body []byte) string {
	id := h.config.ID
	switch {
	case id == "":
		return ""
	case !strings.HasPrefix(id, "/"):
		return r.Header.Get(id)
	}
	found, err := at(body, id)
	if err != nil || found == nil {
		return ""
	}
	return fmt.Sprint(found)
}
