package phone

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
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
