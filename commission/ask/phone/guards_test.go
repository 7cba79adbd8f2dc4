package phone

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// Only the page itself, by one of its names, gets anything (DNS rebinding is stopped by the
// name: looked up; library of Go for the origin).
func TestOnlyThePageItselfIsServed(t *testing.T) {
	s := serve(t)
	c := s.pair(s.tokens.Technician, "a phone")
	for name, tc := range map[string]struct {
		change func(*http.Request)
		want   int
	}{
		"the page":        {nil, http.StatusOK},
		"another name":    {func(r *http.Request) { r.Host = "attacker.example:8443" }, http.StatusMisdirectedRequest},
		"another port":    {func(r *http.Request) { r.Host = "192.0.2.1" }, http.StatusMisdirectedRequest},
		"foreign origin":  {func(r *http.Request) { r.Header.Set("Origin", "https://attacker.example") }, http.StatusForbidden},
		"plain HTTP":      {func(r *http.Request) { r.Header.Set("Origin", "http://"+host) }, http.StatusForbidden},
		"its own origin":  {func(r *http.Request) { r.Header.Set("Origin", "https://"+host) }, http.StatusOK},
		"no origin known": {func(r *http.Request) { r.Header.Set("Origin", "null") }, http.StatusForbidden},
		"another site":    {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusForbidden},
		"same site":       {func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, http.StatusForbidden},
		"no cookie":       {func(r *http.Request) { r.Header.Del("Cookie") }, http.StatusUnauthorized},
	} {
		w := c.do(http.MethodPost, "/clock", []byte("{}"), tc.change)
		assert.Equal(t, tc.want, w.Code, name)
		h := w.Header()
		assert.Contains(t, h.Get("Content-Security-Policy"), "default-src 'none'", name)
		assert.NotContains(t, h.Get("Content-Security-Policy"), "unsafe", name)
		assert.Equal(t, "no-store", h.Get("Cache-Control"), name)
		assert.Equal(t, "no-referrer", h.Get("Referrer-Policy"), name)
	}
}

// Nobody else's page opens the stream, which ends the one that is open.
func TestAnotherPageOpensNoStream(t *testing.T) {
	s := serve(t)
	c := s.pair(s.tokens.Technician, "a phone")
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	for by, want := range map[string]int{"cross-site": http.StatusForbidden, "same-site": http.StatusForbidden,
		"none": http.StatusForbidden, "same-origin": http.StatusOK} {
		w := c.do(http.MethodGet, "/events", nil, func(r *http.Request) {
			*r = *r.WithContext(gone)
			r.Header.Set("Sec-Fetch-Site", by)
		})
		assert.Equal(t, want, w.Code, by)
	}
}

// Wrong tokens are counted by where they come from; after a few that place waits a minute
// with any other, which is told once. Nobody else waits, nor does who has the right one: it
// may share its address with who guesses.
func TestWrongTokensAreCountedAndStopped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		var told []ask.Notice
		s.Beside(nil, func(n ...ask.Notice) { told = append(told, n...) })
		wrong := &client{s: s}
		for range 2 {
			for range mostWrong {
				assert.Equal(t, http.StatusForbidden, wrong.pair("AAAAAAAAAAAAAAAAAAAAAA", "x"))
			}
			assert.Equal(t, http.StatusTooManyRequests, wrong.pair("AAAAAAAAAAAAAAAAAAAAAA", "x"))
			assert.Equal(t, http.StatusOK, (&client{s: s}).pair(s.tokens.Technician, "x"))
			assert.Equal(t, http.StatusTooManyRequests, wrong.pair("BAAAAAAAAAAAAAAAAAAAAA", "x"))
			assert.Equal(t, http.StatusOK, (&client{s: s, from: "192.0.2.8:99"}).pair(s.tokens.Onlooker, "x"))
			time.Sleep(wrongWait)
		}
		var wrongs []ask.Notice
		for _, n := range told {
			if _, is := n.(ask.WrongTokens); is {
				wrongs = append(wrongs, n)
			}
		}
		assert.Equal(t, []ask.Notice{ask.WrongTokens{From: "192.0.2.7"}}, wrongs)
		assert.Equal(t, http.StatusOK, wrong.pair(s.tokens.Technician, "x"))
		assert.Equal(t, http.StatusForbidden, wrong.pair("", "x"))
	})
}

// No token, and no cookie, is kept or told anywhere but to who pairs.
func TestSecretsAreNotKept(t *testing.T) {
	s := serve(t)
	var told bytes.Buffer
	s.Beside(func(h record.Held) { fmt.Fprint(&told, h) }, func(n ...ask.Notice) { fmt.Fprint(&told, n) })
	c := s.pair(s.tokens.Technician, "a phone")
	s.Board(ask.Board{Site: "Studio", Visit: programme.Handover})
	for _, secret := range []string{s.tokens.Technician, s.tokens.Onlooker, c.cookie.Value} {
		require.Greater(t, len(secret), 20)
		assert.NotContains(t, fmt.Sprintf("%+v", s.Server), secret)
		assert.NotContains(t, told.String(), secret)
	}
	assert.True(t, c.cookie.HttpOnly && c.cookie.Secure && c.cookie.Path == "/" && c.cookie.Domain == "")
	assert.Equal(t, http.SameSiteStrictMode, c.cookie.SameSite)
	assert.True(t, strings.HasPrefix(c.cookie.Name, "__Host-"), "of one origin over TLS (RFC 6265bis, from memory)")
	assert.NotEqual(t, s.tokens.Technician, s.tokens.Onlooker)
}

// What is too large, or none of what is expected, is refused and changes nothing.
func TestBodies(t *testing.T) {
	s := serve(t)
	c := s.pair(s.tokens.Technician, "a phone")
	large := []byte(`{"key":"` + strings.Repeat("x", mostBody) + `"}`)
	for _, path := range []string{"/clock", "/press", "/hold", "/hand"} {
		code, taken := c.send(path, large)
		assert.Equal(t, http.StatusRequestEntityTooLarge, code, path)
		assert.NotEmpty(t, taken.Refused, path)
		code, _ = c.send(path, []byte(`{`))
		assert.Equal(t, http.StatusBadRequest, code, path)
		if path != "/clock" {
			code, _ = c.send(path, []byte(`{}`))
			assert.Equal(t, http.StatusBadRequest, code, "no key: "+path)
		}
	}
	code, _ := c.send("/answer", []byte(`{"key":"`+strings.Repeat("x", mostAnswer)+`"}`))
	assert.Equal(t, http.StatusRequestEntityTooLarge, code)

	s.Serve(ask.OutOfTurn{Photograph: func(record.About, string, []byte) (string, error) { return "p-1", nil }})
	code, _ = c.send("/photo?key=1&subject=site", make([]byte, mostPhoto+1))
	assert.Equal(t, http.StatusRequestEntityTooLarge, code)
	code, taken := c.send("/photo?key=1&subject=site", make([]byte, mostPhoto))
	assert.Equal(t, http.StatusOK, code)
	assert.Equal(t, Taken{OK: true, Name: "p-1"}, taken)
	code, _ = c.send("/photo?subject=site", []byte("x"))
	assert.Equal(t, http.StatusBadRequest, code, "no key")
}

// Whoever only looks on sees the board and what is told, and can do nothing.
func TestAnOnlookerOnlyLooksOn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		onlooker := s.pair(s.tokens.Onlooker, "a tablet")
		technician := s.pair(s.tokens.Technician, "a phone")
		photographs, quiets := 0, 0
		s.Serve(ask.OutOfTurn{Quiet: func() { quiets++ },
			Photograph: func(record.About, string, []byte) (string, error) { photographs++; return "", nil }})
		s.Sounding([]string{"Sounder"})
		s.Board(ask.Board{Site: "Studio", Visit: programme.Handover})
		s.Tell(ask.TooSoon{})
		go func() { _, _ = s.Ask(t.Context(), question) }()
		synctest.Wait()
		serial := technician.talk().Serial
		require.NotZero(t, serial)
		assert.Nil(t, onlooker.talk().Question)
		for path, body := range map[string]any{
			"/answer":      Reply{Key: "1", Serial: serial, Text: "x"},
			"/press":       Touched{Key: "2", Serial: serial, Press: "interrupted"},
			"/press?quiet": Touched{Key: "3", Press: "quiet"},
			"/hold":        Hold{Key: "4", Sure: true},
			"/hold?give":   Hold{Key: "5", Give: true},
			"/hand":        Hand{Key: "6", Code: "1234"},
			"/photo?key=7": []byte("x"),
		} {
			code, taken := onlooker.send(path, body)
			assert.Equal(t, http.StatusForbidden, code, path)
			assert.False(t, taken.OK, path)
		}
		assert.Zero(t, photographs+quiets)
		names := map[string]bool{}
		for _, e := range onlooker.events("", 0) {
			names[e.name] = true
		}
		assert.True(t, names[EventBoard] && names[EventNotice] && names[EventTalk])
		assert.Equal(t, serial, technician.talk().Serial, "the question stands")
	})
}
