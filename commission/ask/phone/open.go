package phone

import (
	"context"
	"crypto/tls"
	"errors"
	"io"
	"log"
	"net"
	"net/http"
	"time"

	"loopwitness/commission/ask"
)

// Page is the page as it is served. Close it.
type Page struct {
	s      *Server
	server *http.Server
	over   chan struct{}
}

// Open serves the page on a listener; certificate is nil for plain HTTP.
func (s *Server) Open(l net.Listener, certificate *tls.Certificate) *Page {
	p := &Page{s: s, over: make(chan struct{}), server: &http.Server{
		Handler:           s.Handler(),
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       readWithin, // of a body that nobody reads, too
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		// A browser that does not like the certificate is told of on the phone, not here; and
		// no address with a token gets into a log.
		ErrorLog: log.New(io.Discard, "", 0),
	}}
	l = limit(l)
	serve := p.server.Serve
	if certificate != nil {
		p.server.TLSConfig = &tls.Config{Certificates: []tls.Certificate{*certificate}, MinVersion: tls.VersionTLS12}
		serve = func(l net.Listener) error { return p.server.ServeTLS(l, "", "") }
	}
	go func() {
		defer close(p.over)
		_ = serve(l) // ends by Close
	}()
	return p
}

// Close says the last word to the phones and serves nothing from then on.
func (p *Page) Close(last ask.PhonePageOver) error {
	const parting = time.Second
	p.s.Close(last)
	ctx, cancel := context.WithTimeout(context.Background(), parting)
	defer cancel()
	err := p.server.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = p.server.Close()
	}
	<-p.over
	return err
}
