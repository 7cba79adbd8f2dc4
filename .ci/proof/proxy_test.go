package main

import (
	"io"
	"net"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// echoing answers with what it is sent.
func echoing(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			go func() { _, _ = io.Copy(c, c) }()
		}
	}()
	return l.Addr().String()
}

func TestLink(t *testing.T) {
	l, err := newLink(echoing(t))
	require.NoError(t, err)
	defer l.close()
	open := func() net.Conn {
		c, err := net.Dial("tcp", l.at())
		require.NoError(t, err)
		t.Cleanup(func() { _ = c.Close() })
		return c
	}
	answers := func(c net.Conn, within time.Duration) bool {
		_, err := c.Write([]byte("x"))
		require.NoError(t, err)
		require.NoError(t, c.SetReadDeadline(time.Now().Add(within)))
		_, err = io.ReadFull(c, make([]byte, 1))
		return err == nil
	}
	const long, short = 10 * time.Second, 50 * time.Millisecond
	c := open()
	assert.True(t, answers(c, long))
	l.hold(true)
	assert.False(t, answers(c, short), "held")
	l.hold(false)
	assert.True(t, answers(c, long), "and let go")

	c = open()
	require.True(t, answers(c, long))
	l.kill()
	assert.False(t, answers(c, short), "dead, and nobody is told: writing works")
	assert.True(t, answers(open(), long), "a new one works")
}
