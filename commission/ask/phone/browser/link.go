package browser

import (
	"math/rand/v2"
	"net"
	"sync"
	"testing"
	"time"
)

// Span is how long something takes: any time between the two, each as likely.
type Span struct{ Least, Most time.Duration }

func (s Span) draw() time.Duration {
	if s.Most <= s.Least {
		return s.Least
	}
	return s.Least + rand.N(s.Most-s.Least)
}

// Link is a network between phones and a server, that can be slow, lopsided, or gone.
type Link struct {
	// Address is where phones find it.
	Address string
	to      string
	l       net.Listener

	mu       sync.Mutex
	up, down Span
	cut      bool
	open     map[net.Conn]bool
}

// Behind is an address of loopback that the browser reaches by a link only: whoever looks for
// it there is led to the same port of the usual one.
const Behind = "127.0.0.9"

// NewLink is a link on loopback. It goes with the test. Serve what it leads to with Lead.
func NewLink(t testing.TB) *Link {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	link := &Link{Address: l.Addr().String(), l: l, open: map[net.Conn]bool{}}
	t.Cleanup(func() {
		_ = l.Close()
		link.Cut()
	})
	return link
}

// LinkBehind is a link to an address at Behind, which is asked for as such: the port is the link's own, so nobody else
// listens there.
func LinkBehind(t testing.TB) (link *Link, page string) {
	t.Helper()
	link = NewLink(t)
	_, port, err := net.SplitHostPort(link.Address)
	if err != nil {
		t.Fatal(err)
	}
	page = net.JoinHostPort(Behind, port)
	link.Lead(page)
	return link, page
}

// Lead lets it lead to a server.
func (n *Link) Lead(to string) {
	n.to = to
	go func() {
		for {
			c, err := n.l.Accept()
			if err != nil {
				return
			}
			go n.carry(c)
		}
	}()
}

// Slow is how long each way takes from now on.
func (n *Link) Slow(up, down Span) {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.up, n.down = up, down
}

// Cut is the end of the network: what is open ends, and nothing opens.
func (n *Link) Cut() {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.cut = true
	for c := range n.open {
		_ = c.Close()
	}
}

// Mend brings it back.
func (n *Link) Mend() {
	n.mu.Lock()
	defer n.mu.Unlock()
	n.cut = false
}

// keep takes a connection, unless the link is cut.
func (n *Link) keep(c net.Conn) bool {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.cut {
		return false
	}
	n.open[c] = true
	return true
}

func (n *Link) carry(phone net.Conn) {
	defer func() { _ = phone.Close() }()
	if !n.keep(phone) {
		return
	}
	server, err := net.Dial("tcp", n.to)
	if err != nil {
		return
	}
	defer func() { _ = server.Close() }()
	if !n.keep(server) {
		return
	}
	go n.pump(server, phone, func() Span { return n.up })
	n.pump(phone, server, func() Span { return n.down })
	n.mu.Lock()
	defer n.mu.Unlock()
	delete(n.open, phone)
	delete(n.open, server)
}

// pump carries bytes, each piece after its delay and in order.
func (n *Link) pump(to, from net.Conn, delay func() Span) {
	type piece struct {
		data []byte
		due  time.Time
	}
	pieces := make(chan piece, 1024)
	go func() {
		defer close(pieces)
		for {
			buffer := make([]byte, 32<<10)
			read, err := from.Read(buffer)
			if read > 0 {
				n.mu.Lock()
				due := time.Now().Add(delay().draw())
				n.mu.Unlock()
				pieces <- piece{buffer[:read], due}
			}
			if err != nil {
				return
			}
		}
	}()
	for p := range pieces {
		time.Sleep(time.Until(p.due))
		if _, err := to.Write(p.data); err != nil {
			break
		}
	}
	_ = to.Close()
	_ = from.Close() // which ends the other loop
	for range pieces {
	}
}
