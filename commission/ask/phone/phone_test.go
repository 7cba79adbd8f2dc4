package phone

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/words"
)

const host = "192.0.2.1:8443"

// serving is a server in a test, and its tokens.
type serving struct {
	*Server
	t       testing.TB
	handler http.Handler
	tokens  Tokens
	sent    int
}

func serve(t testing.TB) *serving {
	s, tokens := New(Config{Language: words.English{}, Hosts: []string{host}, TLS: true, Terminal: true})
	return &serving{Server: s, t: t, handler: s.Handler(), tokens: tokens}
}

// client is a phone of a test.
type client struct {
	s      *serving
	cookie *http.Cookie
	from   string
}

// send posts a body and tells what came of it.
func (c *client) send(path string, body any) (int, Taken) {
	c.s.t.Helper()
	data, is := body.([]byte)
	if !is {
		var err error
		data, err = json.Marshal(body)
		require.NoError(c.s.t, err)
	}
	w := c.do(http.MethodPost, path, data, nil)
	var taken Taken
	_ = json.Unmarshal(w.Body.Bytes(), &taken)
	return w.Code, taken
}

func (c *client) do(method, path string, body []byte, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "https://"+host+path, bytes.NewReader(body))
	r.RemoteAddr = "192.0.2.7:1234"
	if c.from != "" {
		r.RemoteAddr = c.from
	}
	if c.cookie != nil {
		r.AddCookie(c.cookie)
	}
	if change != nil {
		change(r)
	}
	w := httptest.NewRecorder()
	c.s.handler.ServeHTTP(w, r)
	return w
}

// pair is a phone that was paired with a token.
func (s *serving) pair(token, device string) *client {
	s.t.Helper()
	c := &client{s: s}
	require.Equal(s.t, http.StatusOK, c.pair(token, device))
	return c
}

func (c *client) pair(token, device string) int {
	data, err := json.Marshal(Pair{token, device})
	require.NoError(c.s.t, err)
	w := c.do(http.MethodPost, "/pair", data, nil)
	for _, cookie := range w.Result().Cookies() {
		c.cookie = cookie
	}
	return w.Code
}

// talk is what a phone is told that stands.
func (c *client) talk() Talk {
	c.s.t.Helper()
	c.s.mu.Lock()
	defer c.s.mu.Unlock()
	return c.s.talkFor(c.s.sessions[hashOf(c.cookie.Value)])
}

// key is one that was not used yet.
func (s *serving) key() string {
	s.sent++
	return strconv.Itoa(s.sent)
}

// question is one that takes a line.
var question = ask.Question{
	ID:    "q",
	What:  ask.NoteMatter,
	Takes: ask.Line{},
	About: []ask.Phrase{ask.Verbatim("about it")},
}

// heard is an event as a page hears it.
type heard struct {
	id, name, data string
}

// events are what a phone hears of a stream within a time of the bubble.
func (c *client) events(query string, within time.Duration) []heard {
	c.s.t.Helper()
	w, cancel := c.listen(query)
	time.Sleep(within)
	synctest.Wait()
	cancel()
	synctest.Wait()
	return w.heard(c.s.t)
}

// listen opens a stream in a bubble.
func (c *client) listen(query string) (*written, context.CancelFunc) {
	ctx, cancel := context.WithCancel(c.s.t.Context())
	w := &written{header: http.Header{}}
	r := httptest.NewRequestWithContext(ctx, http.MethodGet, "https://"+host+"/events"+query, nil)
	r.AddCookie(c.cookie)
	go func() {
		c.s.handler.ServeHTTP(w, r)
		w.mu.Lock()
		defer w.mu.Unlock()
		w.ended = true
	}()
	return w, cancel
}

// written is what was written to a stream.
type written struct {
	mu     sync.Mutex
	header http.Header
	text   bytes.Buffer
	code   int
	ended  bool
}

func (w *written) Header() http.Header { return w.header }
func (w *written) Flush()              {}

func (w *written) WriteHeader(code int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.code = code
}

func (w *written) Write(p []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.text.Write(p)
}

// heard are the events but the beats.
func (w *written) heard(t testing.TB) (all []heard) {
	t.Helper()
	for _, e := range w.all(t) {
		if e.name != EventBeat {
			all = append(all, e)
		}
	}
	return all
}

func (w *written) all(t testing.TB) (all []heard) {
	t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	for block := range strings.SplitSeq(strings.TrimSuffix(w.text.String(), "\n\n"), "\n\n") {
		var e heard
		for line := range strings.SplitSeq(block, "\n") {
			field, value, found := strings.Cut(line, ": ")
			require.True(t, found, "%q", block)
			switch field {
			case "id":
				e.id = value
			case "event":
				e.name = value
			case "data":
				e.data = value
			}
		}
		all = append(all, e)
	}
	return all
}

// asked puts a question in the background and returns what came of it.
func (s *serving) asked(ctx context.Context, q ask.Question) <-chan answered {
	out := make(chan answered, 1)
	go func() {
		a, err := s.Ask(ctx, q)
		out <- answered{a, err}
	}()
	synctest.Wait()
	return out
}

// watched begins a wait and takes its keys in the background.
func (s *serving) watched(w ask.Watch) (<-chan ask.Pressed, ask.Watching) {
	s.t.Helper()
	watching, err := s.Watch(s.t.Context(), w)
	require.NoError(s.t, err)
	return watching.Pressed(), watching
}

// clock compares the clocks once.
func (c *client) clock(t testing.TB, device time.Duration) (i Instants) {
	t.Helper()
	data, err := json.Marshal(Clock{DeviceNS: int64(device)})
	require.NoError(t, err)
	w := c.do(http.MethodPost, "/clock", data, nil)
	require.Equal(t, http.StatusOK, w.Code)
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &i))
	return i
}
