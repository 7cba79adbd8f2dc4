package mqtt

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"encoding/hex"
	"net"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/eclipse/paho.mqtt.golang/packets"
	"golang.org/x/net/proxy"
)

// newID is an identifier that no other client has by accident, and nobody who was there
// before us knows: 23 letters and digits, which every broker takes (MQTT 3.1.1, 3.1.3.1).
func newID() string {
	id := make([]byte, 6)
	_, _ = rand.Read(id) // never fails
	return "loopwitness" + hex.EncodeToString(id)
}

// anotherID comes back under another name: where a second client has taken the old one,
// the two would throw each other out for ever.
func anotherID(_ paho.Client, o *paho.ClientOptions) { o.SetClientID(newID()) }

// forgetful is a store that keeps nothing. The client sends what it keeps again after a
// connection was lost: a sounder would begin to sound when nobody expects it any more.
type forgetful struct{}

func (forgetful) Open()                             {}
func (forgetful) Put(string, packets.ControlPacket) {}
func (forgetful) Get(string) packets.ControlPacket  { return nil }
func (forgetful) All() []string                     { return nil }
func (forgetful) Del(string)                        {}
func (forgetful) Close()                            {}
func (forgetful) Reset()                            {}

// connection opens one to the broker, by a proxy where the environment names one.
func (c *Controller) connection(ctx context.Context) (net.Conn, error) {
	conn, err := proxy.Dial(ctx, "tcp", c.config.Broker.Host)
	if err != nil || c.config.Broker.Scheme != "tls" {
		return conn, err
	}
	t, err := c.tls()
	if err != nil {
		_ = conn.Close()
		return nil, err
	}
	over := tls.Client(conn, t)
	if err := over.HandshakeContext(ctx); err != nil {
		_ = conn.Close()
		return nil, err
	}
	return over, nil
}
