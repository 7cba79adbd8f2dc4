package mqtt

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"net"
	"net/url"
	"sync"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"

	"loopwitness/commission/kit/clock"
)

// Speaker is the other end: it publishes what a practice controller reports, by the rules of the same file
// by which a Controller listens, and takes the commands of its outputs.
//
// Its client is called loopwitnessbench…, so that whoever looks after a broker sees what it is.
type Speaker struct {
	config  Config
	reach   *Controller // knows how to reach the broker
	command func(Command)
	back    func()

	mu     sync.Mutex
	client paho.Client // the latest that was connected
	conn   net.Conn
	gone   chan struct{} // closed when it may come back; nil while it is there
	closed bool
}

// Command is what came on the topic of an output.
type Command struct {
	Address         string // of the output
	On              bool
	Known, Retained bool // the payload is one of the two; the broker had kept it
}

// NewSpeaker makes one; nothing is connected before Start.
func NewSpeaker(c Config, by clock.Clock) *Speaker { return &Speaker{config: c, reach: New(c, by)} }

// Start connects and subscribes to the topics of outputs, and fails if that takes longer than ten seconds.
// command and back are called on goroutines of their own, back at each connection.
func (s *Speaker) Start(ctx context.Context, command func(Command), back func()) error {
	s.command, s.back = command, back
	client := s.newClient()
	token := client.Connect()
	limit := time.NewTimer(connectTimeout)
	defer limit.Stop()
	select {
	case <-token.Done():
		if token.Error() != nil {
			return fmt.Errorf("connect to the broker at %s: %w", s.config.Broker.Host, token.Error())
		}
		return nil
	case <-limit.C:
		client.Disconnect(0)
		return fmt.Errorf("connect to the broker at %s: %w within %s", s.config.Broker.Host, errNoAnswer, connectTimeout)
	case <-ctx.Done():
		client.Disconnect(0)
		return ctx.Err()
	}
}

// newClient is a client for one connection. The library's own way to connect again waits for seconds.
func (s *Speaker) newClient() paho.Client {
	id := make([]byte, 3)
	_, _ = rand.Read(id) // never fails
	o := paho.NewClientOptions().AddBroker(s.config.Broker.String()).
		SetClientID("loopwitnessbench" + hex.EncodeToString(id)).SetProtocolVersion(4).SetCleanSession(true).
		SetStore(forgetful{}).SetKeepAlive(keepAlive).SetPingTimeout(pingTimeout).SetConnectTimeout(connectTimeout / 2).
		SetAutoReconnect(false).SetConnectRetry(false).SetOrderMatters(true)
	o.SetUsername(s.config.User).SetPassword(s.config.Password)
	if a := s.config.Presence; a != nil {
		o.SetWill(a.Topic, a.Away, 1, true)
	}
	o.SetCustomOpenConnectionFn(func(*url.URL, paho.ClientOptions) (net.Conn, error) { return s.open() })
	o.SetOnConnectHandler(func(client paho.Client) { go s.connected(client) })
	o.SetConnectionLostHandler(func(client paho.Client, _ error) { s.lost(client) })
	return paho.NewClient(o)
}

// lost connects again where a connection was lost that nobody dropped.
func (s *Speaker) lost(client paho.Client) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.client == client {
		s.client = nil
		go s.again()
	}
}

// again connects once more, until it can or the speaker is closed.
func (s *Speaker) again() {
	const between = 300 * time.Millisecond
	for {
		s.mu.Lock()
		gone, closed := s.gone, s.closed
		s.mu.Unlock()
		switch {
		case closed:
			return
		case gone != nil:
			<-gone
			continue
		}
		if token := s.newClient().Connect(); token.WaitTimeout(connectTimeout) && token.Error() == nil {
			return
		}
		time.Sleep(between)
	}
}

// connected subscribes, says that the controller is there, and tells so.
func (s *Speaker) connected(client paho.Client) {
	s.mu.Lock()
	over := s.closed || s.gone != nil
	if over { // it was dropped while it connected
		_ = s.conn.Close()
		if !s.closed {
			go s.again()
		}
	} else {
		s.client = client
	}
	s.mu.Unlock()
	if over {
		return
	}
	filters := map[string]byte{}
	for _, o := range s.config.Outputs {
		filters[o.Topic] = 1
	}
	if len(filters) > 0 {
		client.SubscribeMultiple(filters, s.commanded).WaitTimeout(connectTimeout)
	}
	if a := s.config.Presence; a != nil {
		s.Say(a.Topic, []byte(a.Here), true)
	}
	s.back()
}

func (s *Speaker) commanded(_ paho.Client, m paho.Message) {
	for _, o := range s.config.Outputs {
		if o.Topic == m.Topic() {
			text := string(m.Payload())
			s.command(Command{Address: o.Address, On: text == o.On, Known: text == o.On || text == o.Off,
				Retained: m.Retained()})
		}
	}
}

// open connects.
func (s *Speaker) open() (net.Conn, error) {
	ctx, cancel := context.WithTimeout(context.Background(), connectTimeout/2)
	defer cancel()
	conn, err := s.reach.connection(ctx)
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed || s.gone != nil {
		_ = conn.Close()
		return nil, net.ErrClosed
	}
	s.conn = conn
	return conn, nil
}

// Say publishes at quality 0, in the order in which it is called; what is said while there is no
// connection is lost.
func (s *Speaker) Say(topic string, payload []byte, retained bool) {
	if client := s.connection(); client != nil {
		client.Publish(topic, 0, retained, payload)
	}
}

// connection is the client that is connected, nil for none.
func (s *Speaker) connection() paho.Client {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.client == nil || s.gone != nil || !s.client.IsConnectionOpen() {
		return nil
	}
	return s.client
}

// Drop breaks the connection off as a controller does that loses its power: the broker tells its last
// will. It comes back after Return.
func (s *Speaker) Drop() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.gone == nil && !s.closed {
		s.gone = make(chan struct{})
		if s.client != nil { // which notices only when it asks the broker next
			s.client = nil
			_ = s.conn.Close()
			go s.again()
		}
	}
}

// Return lets it come back, within a second.
func (s *Speaker) Return() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.gone != nil {
		close(s.gone)
		s.gone = nil
	}
}

// Close says that the controller is gone, and ends the connection.
func (s *Speaker) Close() error {
	const soon = 200 * time.Millisecond
	client := s.connection()
	if a := s.config.Presence; a != nil && client != nil {
		client.Publish(a.Topic, 1, true, a.Away).WaitTimeout(soon)
	}
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	s.Return()
	if client != nil {
		client.Disconnect(uint(soon.Milliseconds()))
	}
	return nil
}
