package phone

import (
	"bufio"
	"context"
	"fmt"
	"net"
	"net/http"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// wireless is a network in memory: connections that block as long as nobody reads.
type wireless struct{ comes chan net.Conn }

func (n wireless) Accept() (net.Conn, error) {
	if c, open := <-n.comes; open {
		return c, nil
	}
	return nil, net.ErrClosed
}
func (n wireless) Close() error   { close(n.comes); return nil }
func (n wireless) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(192, 0, 2, 1), Port: 8443} }

// near is an end of such a connection that comes from an address.
type near struct {
	net.Conn
	from string
}

func (c near) RemoteAddr() net.Addr { return &net.TCPAddr{IP: net.ParseIP(c.from), Port: 50000} }

func (n wireless) dial(from string) net.Conn {
	there, here := net.Pipe()
	n.comes <- near{here, from}
	return there
}

// closed tells whether the other side has closed a connection.
func closed(c net.Conn) bool {
	_ = c.SetReadDeadline(time.Now().Add(time.Millisecond))
	for b := make([]byte, 4096); ; {
		if _, err := c.Read(b); err != nil {
			ne, is := err.(net.Error)
			return !is || !ne.Timeout()
		}
	}
}

// Who promises a body and never sends it, or asks and never reads, is given up: no paired
// phone is needed for either.
func TestWhoStallsIsGivenUp(t *testing.T) {
	for name, says := range map[string]string{
		"half a header":   "GET / HTTP/1.1\r\nHost: " + host,
		"no body":         "POST /answer HTTP/1.1\r\nHost: " + host + "\r\nContent-Length: 1000\r\n\r\n",
		"no body to pair": "POST /pair HTTP/1.1\r\nHost: " + host + "\r\nContent-Length: 1000\r\n\r\n",
		"no body, nobody": "POST /nothing HTTP/1.1\r\nHost: elsewhere\r\nContent-Length: 1000\r\n\r\n",
		"reads no answer": "GET /page.css HTTP/1.1\r\nHost: " + host + "\r\n\r\n",
		"reads no error":  "POST /clock HTTP/1.1\r\nHost: elsewhere\r\nContent-Length: 0\r\n\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s := serve(t)
				n := wireless{make(chan net.Conn)}
				page := s.Open(n, nil)
				c := n.dial("192.0.2.66")
				_, err := c.Write([]byte(says))
				require.NoError(t, err)
				time.Sleep(photoWithin + 2*writeWithin)
				synctest.Wait()
				assert.True(t, closed(c))
				require.NoError(t, page.Close(ask.PhonePageOver{}))
			})
		})
	}
}

// A stream lasts, whatever bounds other answers have.
func TestAStreamIsNotGivenUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		phone := s.pair(s.tokens.Technician, "a phone")
		n := wireless{make(chan net.Conn)}
		page := s.Open(n, nil)
		c := n.dial("192.0.2.7")
		go func() {
			_, _ = fmt.Fprintf(c, "GET /events HTTP/1.1\r\nHost: %s\r\nCookie: %s=%s\r\n\r\n", host,
				phone.cookie.Name, phone.cookie.Value)
		}()
		beats := make(chan int, 1)
		go func() {
			all := 0
			for in := bufio.NewScanner(c); in.Scan(); {
				if in.Text() == "event: "+EventBeat {
					all++
				}
			}
			beats <- all
		}()
		time.Sleep(time.Hour)
		require.NoError(t, page.Close(ask.PhonePageOver{}))
		assert.InDelta(t, time.Hour/beatEvery, <-beats, 2)
	})
}

// Nobody's connections are so many that the program runs out of files, or that others are
// kept out; whoever leaves makes room.
func TestConnectionsAreBounded(t *testing.T) {
	n := wireless{make(chan net.Conn)}
	l := limit(n)
	let := make(chan net.Conn)
	go func() {
		defer close(let)
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			let <- c
		}
	}()
	come := func(from string) (in bool, c net.Conn) {
		there := n.dial(from)
		gone := make(chan struct{})
		go func() {
			if _, err := there.Read(make([]byte, 1)); err != nil {
				close(gone)
			}
		}()
		select {
		case c := <-let:
			return true, c
		case <-gone:
			return false, nil
		}
	}
	var first []net.Conn
	for i := range mostOfOne + 5 {
		in, c := come("192.0.2.66")
		assert.Equal(t, i < mostOfOne, in, "%d", i)
		first = append(first, c)
	}
	in, _ := come("192.0.2.7")
	assert.True(t, in, "another address")
	_ = first[0].Close()
	_ = first[0].Close()
	in, _ = come("192.0.2.66")
	assert.True(t, in, "one has left")
	in, _ = come("192.0.2.66")
	assert.False(t, in, "one, closed twice")
	all := mostOfOne + 1
	for i := 1; all < mostConnections; i++ {
		in, _ := come(fmt.Sprintf("192.0.2.%d", 100+i/mostOfOne))
		require.True(t, in)
		all++
	}
	in, _ = come("192.0.2.200")
	assert.False(t, in, "all")
	require.NoError(t, l.Close())
}

// What a handed-over phone's browser remembers, the address with the token, does not give
// it back, and the onlookers' address does not end it.
func TestTheCustomerPairsNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		go func() { _, _ = s.Ask(ctx, question) }()
		synctest.Wait()
		code, _ := c.send("/hand", Hand{Key: "1", Code: "0417"})
		require.Equal(t, http.StatusOK, code)
		assert.Equal(t, http.StatusForbidden, c.pair(s.tokens.Onlooker, "a phone"))
		assert.True(t, c.talk().Holds)
		for i := range mostWrong {
			c.send("/hand", Hand{Key: fmt.Sprint("w", i), Code: "0000", Back: true})
		}
		require.Equal(t, http.StatusOK, c.pair(s.tokens.Technician, "a phone"))
		talk := c.talk()
		assert.Equal(t, Customer, talk.Role)
		assert.Nil(t, talk.Question, "it is none of the customer's: "+programme.IDCustomer)
		code, _ = c.send("/answer", Reply{Key: "2", Serial: talk.Serial, Text: "x"})
		assert.Equal(t, http.StatusForbidden, code)
		code, _ = c.send("/hand", Hand{Key: "3", Code: "0417", Back: true})
		assert.Equal(t, http.StatusTooManyRequests, code, "what was tried is still counted")
		time.Sleep(wrongWait)
		code, _ = c.send("/hand", Hand{Key: "4", Code: "0417", Back: true})
		assert.Equal(t, http.StatusOK, code)
		assert.Equal(t, Technician, c.talk().Role)
	})
}

// A fault while something is done does not let those who send it again go round for ever.
func TestAFaultIsNoEndlessRound(t *testing.T) {
	var o outcomes
	assert.Panics(t, func() { o.once("1", func() reply { panic("a fault") }) })
	assert.True(t, o.once("1", func() reply { return ok }).taken.OK)
}

// However many photographs come at once, few are in memory and one is worked on: signals are
// to be stamped meanwhile. What there is no room for comes again.
func TestPhotographsTakeTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := serve(t)
		c := s.pair(s.tokens.Technician, "a phone")
		var working, most, kept atomic.Int32
		s.Serve(ask.OutOfTurn{Photograph: func(record.About, string, []byte) (string, error) {
			most.Store(max(most.Load(), working.Add(1)))
			time.Sleep(time.Second)
			working.Add(-1)
			return fmt.Sprint("photograph-", kept.Add(1)), nil
		}})
		var taken, later atomic.Int32
		for i := range 3 * mostUploads {
			go func() {
				switch code, is := c.send(fmt.Sprint("/photo?subject=site&key=", i), []byte("x")); {
				case is.OK:
					taken.Add(1)
				case code == http.StatusServiceUnavailable && is.Later:
					later.Add(1)
				}
			}()
		}
		time.Sleep(time.Minute)
		synctest.Wait()
		assert.EqualValues(t, 1, most.Load())
		assert.EqualValues(t, mostUploads, taken.Load())
		assert.EqualValues(t, 2*mostUploads, later.Load())
		_, is := c.send("/photo?subject=site&key=late", []byte("x"))
		assert.True(t, is.OK)
	})
}
