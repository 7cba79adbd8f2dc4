package main

import (
	"errors"
	"net"
	"sync"
)

// link is the wire between the program and the broker, which can be made to fail. Close it.
type link struct {
	listener net.Listener
	to       string

	mu    sync.Mutex
	held  chan struct{} // closed when bytes may pass again; nil while they may
	conns []*passage
	all   sync.WaitGroup
}

// passage is one connection, both ways.
type passage struct {
	ends [2]net.Conn
	dead chan struct{} // closed when nothing passes any more, and nobody is told
}

// newLink makes a link to a broker.
func newLink(to string) (*link, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	link := &link{listener: l, to: to}
	link.all.Go(link.accept)
	return link, nil
}

func (l *link) at() string { return l.listener.Addr().String() }

func (l *link) accept() {
	for {
		near, err := l.listener.Accept()
		if err != nil {
			return
		}
		far, err := net.Dial("tcp", l.to)
		if err != nil {
			_ = near.Close() // the broker is not there
			continue
		}
		p := &passage{ends: [2]net.Conn{near, far}, dead: make(chan struct{})}
		l.mu.Lock()
		l.conns = append(l.conns, p)
		l.mu.Unlock()
		l.all.Go(func() { l.pass(p, near, far) })
		l.all.Go(func() { l.pass(p, far, near) })
	}
}

// pass carries bytes one way. When one end is closed, so is the other; a dead passage
// tells nobody.
func (l *link) pass(p *passage, from, to net.Conn) {
	const most = 64 << 10
	buffer := make([]byte, most)
	for {
		n, err := from.Read(buffer)
		l.wait(p)
		select {
		case <-p.dead:
			return
		default:
		}
		if n > 0 {
			if _, failed := to.Write(buffer[:n]); failed != nil {
				err = failed
			}
		}
		if err != nil {
			_ = errors.Join(from.Close(), to.Close())
			return
		}
	}
}

// wait waits while bytes are held.
func (l *link) wait(p *passage) {
	l.mu.Lock()
	held := l.held
	l.mu.Unlock()
	if held == nil {
		return
	}
	select {
	case <-held:
	case <-p.dead:
	}
}

// hold keeps all bytes back, or lets them go on.
func (l *link) hold(on bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case on && l.held == nil:
		l.held = make(chan struct{})
	case !on && l.held != nil:
		close(l.held)
		l.held = nil
	}
}

// kill leaves all connections open at both ends and carries nothing any more. New ones
// work.
func (l *link) kill() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, p := range l.conns {
		select {
		case <-p.dead:
		default:
			close(p.dead)
		}
	}
}

func (l *link) close() {
	_ = l.listener.Close()
	l.hold(false)
	l.mu.Lock()
	for _, p := range l.conns {
		_ = errors.Join(p.ends[0].Close(), p.ends[1].Close())
	}
	l.mu.Unlock()
	l.all.Wait()
}
