package bench

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"time"

	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
)

const (
	mostWaiting = 20000 // calls
	mostTries   = 3
	triedAfter  = 500 * time.Millisecond
	callWithin  = 6 * time.Second
)

// caller calls web hooks, one after the other, in the order in which things happen.
type caller struct {
	b       *Bench
	config  web.HookConfig
	base    string
	client  *http.Client
	texts   map[string]*text // by path, of rules that name their address
	known   known
	waiting chan call
	life    atomic.Int64 // another after each time it was gone: what waited before is lost
	lost    bool
	failing bool
	ids     int
}

// call is one that is to be made.
type call struct {
	path string
	body []byte
	json bool
	id   string // of a header, "" for none
	life int64
}

func newCaller(b *Bench, c web.HookConfig) *caller {
	host, port, _ := net.SplitHostPort(c.At)
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	scheme := "http"
	if c.CertFile != "" {
		scheme = "https"
	}
	w := &caller{b: b, config: c, base: scheme + "://" + net.JoinHostPort(host, port), texts: map[string]*text{},
		known: known{}, waiting: make(chan call, mostWaiting)}
	if c.Secret != "" {
		w.base += "/" + c.Secret
	}
	return w
}

func (w *caller) start(context.Context) error {
	over := &http.Transport{MaxConnsPerHost: 1, TLSHandshakeTimeout: callWithin}
	if w.config.CertFile != "" {
		pinned, err := pinned(w.config.CertFile)
		if err != nil {
			return err
		}
		over.TLSClientConfig = pinned
	}
	w.client = &http.Client{Transport: over, Timeout: callWithin,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	w.b.mu.Lock()
	for _, r := range w.config.System {
		w.on(written(r.Path)).put(r.Value, said(r.Present, r.Absent, false))
	}
	w.arrive()
	w.b.mu.Unlock()
	w.b.work.Go(w.calls)
	return nil
}

// pinned lets exactly the certificate of a file be believed, whatever names it has.
func pinned(file string) (*tls.Config, error) {
	const longest = 1 << 20
	data, err := readfile.All(file, longest)
	if err != nil {
		return nil, fmt.Errorf("read the certificate of the web hook: %w", err)
	}
	block, _ := pem.Decode(data)
	if block == nil {
		return nil, fmt.Errorf("%s holds no certificate in PEM form", file)
	}
	return &tls.Config{MinVersion: tls.VersionTLS12, InsecureSkipVerify: true, // by VerifyPeerCertificate instead
		VerifyPeerCertificate: func(raw [][]byte, _ [][]*x509.Certificate) error {
			if len(raw) == 0 || !bytes.Equal(raw[0], block.Bytes) {
				return errors.New("whoever answers has not the certificate of cert_file")
			}
			return nil
		}}, nil
}

func (w *caller) on(path string) *text {
	t := w.texts[path]
	if t == nil {
		t = &text{}
		w.texts[path] = t
	}
	return t
}

func (w *caller) reports(address string) bool {
	return slices.ContainsFunc(w.config.Signals, func(r web.HookSignal) bool {
		_, is := w.known.reporting(r.Path, r.Address, address)
		return is || strings.HasPrefix(r.Address, "/") && r.Value != ""
	})
}

func (w *caller) signal(address string, s signal.State) {
	for _, r := range w.config.Signals {
		state, known := word(r.Rule, s)
		if !known {
			continue
		}
		if strings.HasPrefix(r.Address, "/") {
			if r.Value == "" {
				continue // the state would have to be the whole body
			}
			t := &text{}
			t.put(r.Value, state)
			t.put(r.Address, address)
			w.call(written(r.Path), t)
			return
		}
		if path, is := w.known.reporting(r.Path, r.Address, address); is {
			t := w.on(path)
			t.put(r.Value, state)
			w.call(path, t)
			return
		}
	}
}

func (w *caller) system(a signal.Aspect, present bool) {
	for _, r := range w.config.System {
		if r.Aspect == a {
			path := written(r.Path)
			t := w.on(path)
			t.put(r.Value, said(r.Present, r.Absent, present))
			w.call(path, t)
		}
	}
}

func (w *caller) volt(float64) {} // no web hook tells it

// call lets a body be sent, in the list and with the id that the file asks for.
func (w *caller) call(path string, t *text) {
	body, isJSON := t.bytes(), len(t.at) > 0
	w.ids++
	id := fmt.Sprintf("%d-%d", w.b.clock.Now().UnixNano(), w.ids)
	c := call{path: path, life: w.life.Load()}
	outer := &text{}
	if w.config.Many != "" {
		var item any = string(body)
		if isJSON {
			item = json.RawMessage(body)
		}
		outer.put(w.config.Many, []any{item})
	}
	switch {
	case w.config.ID == "":
	case !strings.HasPrefix(w.config.ID, "/"):
		c.id = id
	case w.config.Many != "":
		outer.put(w.config.ID, id)
	case isJSON:
		with := &text{at: map[string]any{w.config.ID: id}}
		for at, value := range t.at {
			with.at[at] = value
		}
		body = with.bytes()
	}
	if w.config.Many != "" {
		body, isJSON = outer.bytes(), true
	}
	c.body, c.json = body, isJSON
	select {
	case w.waiting <- c:
		w.lost = false
	default:
		if !w.lost {
			w.b.tell(Event{What: CallsLost, Count: mostWaiting})
		}
		w.lost = true
	}
}

// calls makes the calls until the bench closes.
func (w *caller) calls() {
	for {
		select {
		case <-w.b.ctx.Done():
			return
		case c := <-w.waiting:
			w.make(c)
		}
	}
}

// make makes a call, and again where it was not taken.
func (w *caller) make(c call) {
	var err error
	for try := range mostTries {
		if try > 0 && !pause(w.b.ctx, w.b.clock, triedAfter) {
			return
		}
		if c.life != w.life.Load() {
			return
		}
		var again bool
		if again, err = w.once(c); err == nil {
			if w.failing {
				w.b.tell(Event{What: CallsAgain})
			}
			w.failing = false
			return
		}
		if !again {
			break
		}
		if w.failing {
			break // it was waited for already
		}
	}
	if w.b.ctx.Err() == nil && !w.failing {
		w.b.tell(Event{What: CallFailed, Detail: err.Error()})
	}
	w.failing = true
}

func (w *caller) once(c call) (again bool, err error) {
	r, err := http.NewRequestWithContext(w.b.ctx, http.MethodPost, w.base+c.path, bytes.NewReader(c.body))
	if err != nil {
		return false, errors.New("the web hook's address cannot be called")
	}
	r.Header.Set(web.PracticeHeader, "yes")
	r.Header.Set("Content-Type", "text/plain; charset=utf-8")
	if c.json {
		r.Header.Set("Content-Type", "application/json")
	}
	if w.config.Token != "" {
		r.Header.Set("Authorization", "Bearer "+w.config.Token)
	}
	if len(w.config.Hosts) > 0 {
		r.Host = w.config.Hosts[0]
	}
	if c.id != "" {
		r.Header.Set(w.config.ID, c.id)
	}
	answer, err := w.client.Do(r)
	if err != nil {
		var u interface{ Unwrap() error }
		if errors.As(err, &u) { // without the address, in which the secret stands
			err = u.Unwrap()
		}
		return true, err
	}
	const most = 4 << 10
	why, _ := io.ReadAll(io.LimitReader(answer.Body, most))
	_ = answer.Body.Close()
	if answer.StatusCode/100 == 2 {
		return false, nil
	}
	return answer.StatusCode >= 500 || answer.StatusCode == http.StatusTooManyRequests,
		fmt.Errorf("%s: %s", answer.Status, strings.TrimSpace(string(why)))
}

// leave loses what waits.
func (w *caller) leave() { w.life.Add(1) }

// arrive says that it is there, and how all stands.
func (w *caller) arrive() {
	if p := w.config.Presence; p != nil {
		t := w.on(p.Path)
		t.put(p.Value, p.Here)
		w.call(p.Path, t)
	}
	for i := range w.b.site.Zones {
		a := w.b.site.Zones[i].Address
		w.signal(a, w.b.states[a])
	}
	for _, a := range signal.Aspects {
		w.system(a, w.b.aspects[a])
	}
}

func (w *caller) close() {
	if w.client != nil {
		w.client.CloseIdleConnections()
	}
}
