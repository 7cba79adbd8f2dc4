package phone

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

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
