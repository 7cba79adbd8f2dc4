package phone

import (
	"net"
	"sync"
)

// A visit needs few connections: a browser opens some six of them, and a page one stream.
// Whoever opens more than anybody needs must not take the files from the program that it
// writes the visit with.
const (
	mostConnections = 256
	mostOfOne       = 64 // from one address: phones may share one
)

// crowd is a listener that closes at once what comes beyond a number of connections.
type crowd struct {
	net.Listener
	mu   sync.Mutex
	all  int
	from map[string]int
}

func limit(l net.Listener) *crowd { return &crowd{Listener: l, from: map[string]int{}} }

func (c *crowd) Accept() (net.Conn, error) {
	for {
		conn, err := c.Listener.Accept()
		if err != nil {
			return nil, err
		}
		if from := origin(conn.RemoteAddr().String()); c.enter(from) {
			return &oneOf{Conn: conn, leave: sync.OnceFunc(func() { c.leave(from) })}, nil
		}
		_ = conn.Close()
	}
}

func (c *crowd) enter(from string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.all >= mostConnections || c.from[from] >= mostOfOne {
		return false
	}
	c.all++
	c.from[from]++
	return true
}

func (c *crowd) leave(from string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.all--
	if c.from[from]--; c.from[from] == 0 {
		delete(c.from, from)
	}
}

// oneOf is a connection that was let in.
type oneOf struct {
	net.Conn
	leave func()
}

func (o *oneOf) Close() error {
	defer o.leave()
	return o.Conn.Close()
}

// origin is an address without its port.
func origin(address string) string {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return address
	}
	return host
}
