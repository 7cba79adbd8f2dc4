package web

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"net/url"
	"slices"
	"sync"
	"time"
)

// Reached is a host that switches outputs, and why it cannot be connected to, nil where it can.
type Reached struct {
	Host string // host, and port where it is not the usual one
	Err  error
}

// reachedWithin bounds the connection to each host.
const reachedWithin = 5 * time.Second

// Reach connects to each host that switches outputs, once, all at a time, and asks nothing: no output works by it.
func (s *Outputs) Reach(ctx context.Context) (all []Reached) {
	var hosts []*url.URL
	for _, rule := range s.config.Outputs {
		for _, text := range []string{rule.OnURL, rule.OffURL} {
			u, err := url.Parse(text)
			same := func(h *url.URL) bool { return h.Host == u.Host && h.Scheme == u.Scheme }
			if err == nil && !slices.ContainsFunc(hosts, same) {
				hosts = append(hosts, u)
			}
		}
	}
	all = make([]Reached, len(hosts))
	var tried sync.WaitGroup
	for i, u := range hosts {
		tried.Go(func() {
			limited, cancel := context.WithTimeout(ctx, reachedWithin)
			defer cancel()
			all[i] = Reached{u.Host, s.connects(limited, u)}
		})
	}
	tried.Wait()
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
		return bare(err)
	}
	return c.Close()
}
