package web

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"net/url"
	"slices"
)

// Reached is a host that switches outputs, and why it cannot be connected to, nil where it can.
type Reached struct {
	Host string // host, and port where it is not the usual one
	Err  error
}

// Reach connects to each host that switches outputs, once, and asks nothing: no output works by it.
func (s *Outputs) Reach(ctx context.Context) (all []Reached) {
	for _, rule := range s.config.Outputs {
		for _, text := range []string{rule.OnURL, rule.OffURL} {
			u, err := url.Parse(text)
			if err == nil && !slices.ContainsFunc(all, func(r Reached) bool { return r.Host == u.Host }) {
				all = append(all, Reached{u.Host, s.connects(ctx, u)})
			}
		}
	}
	return all
}

func (s *Outputs) connects(ctx context.Context, u *url.URL) error {
	port := u.Port()
	if port == "" {
		port = u.Scheme // net knows the names of these
	}
	at := net.JoinHostPort(u.Hostname(), port)
	var c net.Conn
	var err error
	if u.Scheme == "https" {
		c, err = (&tls.Dialer{Config: s.client.Transport.(*http.Transport).TLSClientConfig}).DialContext(ctx, "tcp", at)
	} else {
		c, err = (&net.Dialer{}).DialContext(ctx, "tcp", at)
	}
	if err != nil {
		return err
	}
	return c.Close()
}
