package testbroker

import (
	"crypto/tls"
	"log/slog"
	"net"
	"sync"

	"github.com/mochi-mqtt/server/v2/listeners"
)

// door is the listener of a broker; it knows who came in, and waits until they have left.
type door struct {
	listener net.Listener
	secured  *tls.Config // nil: in the clear

	served sync.WaitGroup
	mu     sync.Mutex
	inside map[net.Conn]bool
	closed bool
}

func (d *door) Init(*slog.Logger) error   { return nil }
func (d *door) ID() string                { return "door" }
func (d *door) Address() string           { return d.listener.Addr().String() }
func (d *door) Protocol() string          { return "tcp" }
func (d *door) Close(_ listeners.CloseFn) { d.shut() }

func (d *door) Serve(establish listeners.EstablishFn) {
	for {
		c, err := d.listener.Accept()
		if err != nil {
			return
		}
		if d.secured != nil {
			c = tls.Server(c, d.secured)
		}
		if !d.enters(c) {
			_ = c.Close()
			continue
		}
		go func() {
			defer d.served.Done()
			_ = establish(d.ID(), c)
			d.leaves(c)
		}()
	}
}

func (d *door) enters(c net.Conn) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.closed {
		return false
	}
	if d.inside == nil {
		d.inside = map[net.Conn]bool{}
	}
	d.inside[c] = true
	d.served.Add(1)
	return true
}

func (d *door) leaves(c net.Conn) {
	d.mu.Lock()
	defer d.mu.Unlock()
	delete(d.inside, c)
}

// shut lets nobody in, and returns when everybody has left.
func (d *door) shut() {
	_ = d.listener.Close()
	d.mu.Lock()
	d.closed = true
	for c := range d.inside {
		_ = c.Close()
	}
	d.mu.Unlock()
	d.served.Wait()
}
