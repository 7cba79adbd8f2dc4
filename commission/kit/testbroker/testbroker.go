// Package testbroker runs an MQTT broker within a test. Only tests import it.
package testbroker

import (
	"crypto/tls"
	"log/slog"
	"net"
	"sync"
	"testing"
	"time"

	mqtt "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/hooks/auth"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Options say where a broker listens and whom it takes. The zero value takes everybody,
// in the clear, at a free port.
type Options struct {
	Address        string // 127.0.0.1:0 if it is empty
	User, Password string // who may read and write everything; everybody if User is empty
	TLS            *tls.Config
}

// Broker is a running broker. It may be stopped twice.
type Broker struct {
	*mqtt.Server
	Address string // host:port

	door *door
	once sync.Once
}

// Run starts a broker, and stops it when the test ends.
func Run(t testing.TB, o Options) *Broker {
	t.Helper()
	if o.Address == "" {
		o.Address = "127.0.0.1:0"
	}
	s := mqtt.New(&mqtt.Options{InlineClient: true, Logger: slog.New(slog.DiscardHandler)})
	if o.User == "" {
		require.NoError(t, s.AddHook(new(auth.AllowHook), nil))
	} else {
		one := auth.AuthRules{{Username: auth.RString(o.User), Password: auth.RString(o.Password), Allow: true}}
		require.NoError(t, s.AddHook(new(auth.Hook), &auth.Options{Ledger: &auth.Ledger{Auth: one}}))
	}
	l := listen(t, o.Address)
	b := &Broker{Server: s, Address: l.Addr().String(), door: &door{listener: l, secured: o.TLS}}
	require.NoError(t, s.AddListener(b.door))
	require.NoError(t, s.Serve())
	t.Cleanup(b.Stop)
	return b
}

// listen listens at an address. One at which a broker was stopped just now may still be held by a process that
// another test is starting.
func listen(t testing.TB, address string) (l net.Listener) {
	t.Helper()
	require.EventuallyWithT(t, func(now *assert.CollectT) {
		var err error
		l, err = net.Listen("tcp", address)
		require.NoError(now, err)
	}, 10*time.Second, 10*time.Millisecond)
	return l
}

// Stop listens no longer and ends every connection, before the server is closed: to close
// it while clients come or go may wait for ever (it gathers them under a lock that it takes
// twice), or panic.
func (b *Broker) Stop() {
	b.once.Do(func() {
		b.door.shut()
		_ = b.Close()
	})
}
