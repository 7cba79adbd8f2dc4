package web

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"sync"
	"time"

	"loopwitness/commission/kit/clock"
)

// mostConnections bounds those that stand. Where there are so many, the one that has been idle for
// longest makes room, else the one whose first headers are waited for since longest, more than headTime; where
// there is none, the new one is closed.
const (
	mostConnections = 1000
	headTime        = time.Second
)

// conn knows when bytes were read.
//
// Over HTTP/1.1 without TLS the first byte of a request is the first that is read after the request
// before. Bytes that were read together with the end of the request before (pipelining) came with it.
// Where a request's first byte cannot be told from others, over HTTP/2 and for the first request
// behind a TLS handshake, the last read before its headers were whole counts: that is later, by what
// the sender took for its headers.
type conn struct {
	net.Conn
	clock clock.Clock
	gone  func(*conn)
	once  sync.Once

	mu          sync.Mutex
	first, last time.Time     // of the reads since the request before; of all
	waited      time.Duration // for more after first
	ahead       bool          // first is surely of the next request
	shaken      bool          // no handshake is among the reads
	idle        time.Time     // since when; zero for not
	open        time.Time     // since when its first headers are waited for; zero once they are whole
}

// Read stamps.
func (c *conn) Read(p []byte) (int, error) {
	begun := c.clock.Now()
	n, err := c.Conn.Read(p)
	if n > 0 {
		now := c.clock.Now()
		c.mu.Lock()
		c.last = now
		c.waited += now.Sub(begun)
		if c.first.IsZero() || len(p) == 1 && !c.ahead {
			// net/http reads a single byte while a request is answered: it is of the next.
			c.first, c.ahead, c.waited = now, len(p) == 1, 0
		}
		c.mu.Unlock()
	}
	return n, err
}

// stamp is when the first byte was read of the request whose headers are whole now.
func (c *conn) stamp(protocol int) time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	at := c.first
	if protocol > 1 || !c.shaken || at.IsZero() {
		at = c.last
	}
	c.ahead, c.shaken, c.open = false, true, time.Time{}
	return at
}

// over tells that a request was read to its end: when, and whether its sender was prompt. One that was
// not read at once may have been there all the while.
func (c *conn) over(protocol int, stamp time.Time) (whole time.Time, isPrompt bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	isPrompt = c.waited <= prompt
	if protocol > 1 {
		isPrompt = c.last.Sub(stamp) <= prompt
	}
	if !c.ahead {
		c.first = time.Time{}
	}
	return c.last, isPrompt
}

// Close lets another connection stand.
func (c *conn) Close() error {
	c.once.Do(func() { c.gone(c) })
	return c.Conn.Close()
}

// listener hands out connections that stamp, not too many.
type listener struct {
	net.Listener
	clock  clock.Clock
	secure bool
	most   int

	mu  sync.Mutex
	all map[*conn]bool
}

// Accept waits for a connection that there is room for.
func (l *listener) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		if mine := l.room(c); mine != nil {
			return mine, nil
		}
		_ = c.Close()
	}
}

// room lets a connection stand, nil for none.
func (l *listener) room(c net.Conn) *conn {
	mine := &conn{Conn: c, clock: l.clock, shaken: !l.secure, gone: l.gone, open: l.clock.Now()}
	l.mu.Lock()
	var oldest *conn
	if len(l.all) >= l.most {
		if oldest = l.idlest(); oldest == nil {
			l.mu.Unlock()
			return nil
		}
		delete(l.all, oldest)
	}
	l.all[mine] = true
	l.mu.Unlock()
	if oldest != nil {
		_ = oldest.Close()
	}
	return mine
}

// idlest is what makes room, nil for none.
func (l *listener) idlest() *conn {
	var oldest, slowest *conn
	var since, begun time.Time
	for c := range l.all {
		c.mu.Lock()
		idle, open := c.idle, c.open
		c.mu.Unlock()
		if !idle.IsZero() && (oldest == nil || idle.Before(since)) {
			oldest, since = c, idle
		}
		if !open.IsZero() && (slowest == nil || open.Before(begun)) {
			slowest, begun = c, open
		}
	}
	if oldest == nil && slowest != nil && l.clock.Now().Sub(begun) > headTime {
		return slowest
	}
	return oldest
}

func (l *listener) gone(c *conn) {
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.all, c)
}

// state keeps which connections are idle.
func (l *listener) state(nc net.Conn, s http.ConnState) {
	c := beneath(nc)
	if c == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.idle = time.Time{}
	if s == http.StateIdle {
		c.idle = l.clock.Now()
	}
}

// beneath is our connection, which TLS may hide.
func beneath(nc net.Conn) *conn {
	if t, is := nc.(*tls.Conn); is {
		nc = t.NetConn()
	}
	c, _ := nc.(*conn)
	return c
}

type connKey struct{}

func withConn(ctx context.Context, nc net.Conn) context.Context {
	return context.WithValue(ctx, connKey{}, beneath(nc))
}

func connOf(ctx context.Context) *conn {
	c, _ := ctx.Value(connKey{}).(*conn)
	return c
}
