package bench

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
)

const (
	answerWithin = 5 * time.Second
	mostBody     = 64 << 10
)

// server answers requests of the status, and those that switch outputs.
type server struct {
	b     *Bench
	poll  *web.PollConfig   // nil for none
	http  *web.SwitchConfig // nil for none
	hosts []string          // host:port at which it listens
	all   []*http.Server
	text  text // of the status
	away  atomic.Bool
	asked atomic.Bool
	wrong atomic.Bool // somebody was not let in, which is told once
}

var errTLS = errors.New("a practice controller answers without TLS only; write http:// in controller.yaml")

func newServer(b *Bench, poll *web.PollConfig, outputs *web.SwitchConfig) (*server, error) {
	w := &server{b: b, poll: poll, http: outputs}
	if poll != nil {
		if err := w.at(poll.URL); err != nil {
			return nil, err
		}
	}
	if outputs != nil {
		for _, o := range outputs.Outputs {
			if err := errors.Join(w.at(o.OnURL), w.at(o.OffURL)); err != nil {
				return nil, err
			}
		}
	}
	return w, nil
}

// at lets it listen where an address points to.
func (w *server) at(address string) error {
	u, err := url.Parse(address)
	if err != nil {
		return errors.New("an address of controller.yaml cannot be read")
	}
	if u.Scheme != "http" {
		return errTLS
	}
	host := u.Host
	if u.Port() == "" {
		host = net.JoinHostPort(u.Hostname(), "80")
	}
	for _, known := range w.hosts {
		if known == host {
			return nil
		}
	}
	w.hosts = append(w.hosts, host)
	return nil
}

func (w *server) start(ctx context.Context) error {
	w.b.mu.Lock()
	w.arrive()
	w.b.mu.Unlock()
	for _, host := range w.hosts {
		l, err := (&net.ListenConfig{}).Listen(ctx, "tcp", host)
		if err != nil {
			return fmt.Errorf("answer at %s, as controller.yaml has it: %w; for practice name this computer, for example "+
				"127.0.0.1:8470", host, err)
		}
		s := &http.Server{Handler: http.HandlerFunc(w.answer), ReadTimeout: answerWithin, WriteTimeout: answerWithin,
			IdleTimeout: time.Minute, ErrorLog: log.New(io.Discard, "", 0)}
		w.all = append(w.all, s)
		go func() { _ = s.Serve(l) }()
	}
	return nil
}

func (w *server) answer(to http.ResponseWriter, r *http.Request) {
	if w.away.Load() {
		panic(http.ErrAbortHandler) // as one that has no power
	}
	to.Header().Set(web.PracticeHeader, "yes")
	switch {
	case w.poll != nil && points(w.poll.URL, r):
		if w.letIn(w.poll.Login, to, r) {
			w.status(to, r)
		}
	case w.http != nil && w.output(to, r):
	default:
		http.Error(to, "nothing of controller.yaml is here", http.StatusNotFound)
	}
}

// points tells whether a request is for an address.
func points(address string, r *http.Request) bool {
	u, err := url.Parse(address)
	return err == nil && max(u.Path, "/") == max(r.URL.Path, "/") && u.RawQuery == r.URL.RawQuery
}

func (w *server) letIn(l web.Login, to http.ResponseWriter, r *http.Request) bool {
	ok := true
	switch user, password, _ := r.BasicAuth(); {
	case l.Token != "":
		scheme, token, _ := strings.Cut(r.Header.Get("Authorization"), " ")
		ok = strings.EqualFold(scheme, "Bearer") && same(token, l.Token)
	case l.User != "" || l.Password != "":
		ok = same(user, l.User) && same(password, l.Password)
	}
	if !ok {
		if w.wrong.CompareAndSwap(false, true) {
			w.b.tell(Event{What: NotLetIn})
		}
		http.Error(to, "who asks is not known", http.StatusUnauthorized)
	}
	return ok
}

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

func (w *server) status(to http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet {
		http.Error(to, "only GET is taken", http.StatusMethodNotAllowed)
		return
	}
	if w.asked.CompareAndSwap(false, true) {
		w.b.tell(Event{What: Asked})
	}
	w.b.mu.Lock()
	body, isJSON := w.text.bytes(), len(w.text.at) > 0
	w.b.mu.Unlock()
	tag := fmt.Sprintf(`"%x"`, sha256.Sum256(body))
	to.Header().Set("ETag", tag)
	if r.Header.Get("If-None-Match") == tag {
		to.WriteHeader(http.StatusNotModified)
		return
	}
	to.Header().Set("Content-Type", "text/plain; charset=utf-8")
	if isJSON {
		to.Header().Set("Content-Type", "application/json")
	}
	_, _ = to.Write(body)
}

// output takes a request that switches an output; false where no rule has one at that address.
func (w *server) output(to http.ResponseWriter, r *http.Request) bool {
	body, err := io.ReadAll(io.LimitReader(r.Body, mostBody))
	if err != nil {
		return false
	}
	about := false
	for _, o := range w.http.Outputs {
		on, off := points(o.OnURL, r), points(o.OffURL, r)
		if about = about || on || off; !on && !off || r.Method != o.Method {
			continue
		}
		on, off = on && string(body) == o.On, off && string(body) == o.Off
		if on || off {
			if w.letIn(w.http.Login, to, r) {
				w.b.ordered(o.Address, on)
				to.WriteHeader(http.StatusNoContent)
			}
			return true
		}
	}
	if about {
		w.b.tell(Event{What: Ordered, Of: r.URL.Path, Detail: "not understood"})
		http.Error(to, "neither on nor off", http.StatusBadRequest)
	}
	return about
}

func (w *server) signal(address string, s signal.State) {
	if w.poll == nil {
		return
	}
	for _, r := range w.poll.Signals {
		if text, known := word(r.Rule, s); r.Address == address && known {
			w.text.put(r.Value, text)
		}
	}
}

func (w *server) system(a signal.Aspect, present bool) {
	if w.poll == nil {
		return
	}
	for _, r := range w.poll.System {
		if r.Aspect == a {
			w.text.put(r.Value, said(r.Present, r.Absent, present))
		}
	}
}

func (w *server) reports(address string) bool {
	return w.poll != nil && slices.ContainsFunc(w.poll.Signals,
		func(r web.PollSignal) bool { return r.Address == address })
}

func (w *server) volt(float64) {}

func (w *server) leave() { w.away.Store(true) }

// arrive answers again, with what happened meanwhile.
func (w *server) arrive() {
	for a, s := range w.b.states {
		w.signal(a, s)
	}
	for _, a := range signal.Aspects {
		w.system(a, w.b.aspects[a])
	}
	w.away.Store(false)
}

func (w *server) close() {
	for _, s := range w.all {
		_ = s.Close()
	}
}
