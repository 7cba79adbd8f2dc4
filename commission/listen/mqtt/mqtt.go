// Package mqtt listens to a controller that publishes over MQTT 3.1.1, and
// switches its outputs the same way.
//
// A message that the broker kept (RETAIN 1, MQTT-3.3.1-8) or sent again (DUP)
// tells an old state and is marked so. The session is clean, and topics are
// subscribed anew at every connection: a session that survives would deliver
// old messages that look live.
//
// Topics are subscribed at quality 0. In a clean session a higher one delivers
// nothing more, and makes the broker wait for acknowledgements: of 5,000 messages a
// second, mosquitto dropped 480 without a word when the computer was busy for 0.3 s,
// and none at quality 0 when it was for 3 s (measured, mosquitto 2.0.11).
//
// The client reads a message only when the one before is dealt with, on one
// goroutine in the order of arrival. So the handler stamps a message and hands it
// on, and waits for nothing: whatever it waited for would delay the stamps of all
// that follow.
package mqtt

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"net"
	"net/url"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/signal"
)

const (
	// uncertainty of a response, expanded: what the computer adds to a time
	// (measured under 10 ms with both cores busy) with a margin; not the person.
	uncertainty    = 50 * time.Millisecond
	keepAlive      = 5 * time.Second // a dead link must not look like a silent detector for long
	pingTimeout    = 3 * time.Second
	connectTimeout = 10 * time.Second
	resubscribe    = 2 * time.Second
	maxRaw         = 120
)

var (
	errNoAnswer   = errors.New("no answer")
	errNotGranted = errors.New("the broker refuses the subscription")
)

// Controller is the source. It implements signal.Source and signal.Guarded.
type Controller struct {
	config  Config
	clock   clock.Clock
	client  paho.Client
	to      signal.Receiver
	closing atomic.Bool

	mu     sync.Mutex
	guards map[*guard]bool

	reach    sync.Mutex // held while a change is told, so that they are told in order
	link     *link      // the latest, nil before the first
	standing bool       // it stands still
	away     bool       // the controller said that it is gone
}

// New makes a source; nothing is connected before Start. Signals are stamped by the
// clock.
func New(c Config, by clock.Clock) *Controller {
	return &Controller{config: c, clock: by, guards: map[*guard]bool{}}
}

// About describes the source. The broker's address is none of the
// certificate's business; user and password are nobody's.
func (c *Controller) About() signal.Listening {
	return signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: uncertainty.Nanoseconds(),
		Simulated: c.config.Practice, Sampled: c.config.Supply != nil, Tells: c.config.tells()}
}

// Start connects and subscribes, and fails if that takes longer than ten
// seconds. Later losses are reported and mended by themselves.
func (c *Controller) Start(ctx context.Context, to signal.Receiver) error {
	c.to = to
	options, err := c.options()
	if err != nil {
		return err
	}
	subscribed := make(chan error, 1)
	var first atomic.Bool
	first.Store(true)
	options.SetOnConnectHandler(func(client paho.Client) {
		err := c.subscribe(client)
		switch {
		case first.CompareAndSwap(true, false):
			subscribed <- err
			c.watchLink()
		default:
			c.connectedAgain(client, err)
		}
	})
	limit := time.NewTimer(connectTimeout)
	defer limit.Stop()
	if err := c.dial(ctx, options); err != nil {
		return err
	}
	select {
	case err := <-subscribed:
		return err
	case <-limit.C:
		return errors.New("the broker does not confirm the subscription")
	case <-ctx.Done():
		return ctx.Err()
	}
}

// dial connects, and fails if that takes longer than ten seconds.
func (c *Controller) dial(ctx context.Context, options *paho.ClientOptions) error {
	c.client = paho.NewClient(options)
	token := c.client.Connect()
	limit := time.NewTimer(connectTimeout)
	defer limit.Stop()
	select {
	case <-token.Done():
		if token.Error() != nil {
			return fmt.Errorf("connect to the broker at %s: %w", c.config.Broker.Host, token.Error())
		}
		return nil
	case <-limit.C:
		c.client.Disconnect(0)
		return fmt.Errorf("connect to the broker at %s: %w within %s", c.config.Broker.Host, errNoAnswer, connectTimeout)
	case <-ctx.Done():
		c.client.Disconnect(0)
		return ctx.Err()
	}
}

// connectedAgain tells that the connection is back once the topics are
// subscribed again. Where the controller tells by itself whether it is there,
// only its own word counts.
func (c *Controller) connectedAgain(client paho.Client, err error) {
	for err != nil && client.IsConnectionOpen() {
		c.to.Connection(signal.Connection{Up: false, Why: signal.Broken, Detail: err.Error()})
		c.pause(resubscribe)
		err = c.subscribe(client)
	}
	if err == nil && c.config.Presence == nil {
		c.to.Connection(signal.Connection{Up: true, Why: signal.BackAgain})
	}
	c.watchLink()
}

func (c *Controller) pause(d time.Duration) {
	over := make(chan struct{})
	defer c.clock.AfterFunc(d, func() { close(over) })()
	<-over
}

func (c *Controller) options() (*paho.ClientOptions, error) {
	o := paho.NewClientOptions().AddBroker(c.config.Broker.String()).
		SetClientID(newID()).SetReconnectingHandler(anotherID).SetProtocolVersion(4).SetCleanSession(true).
		SetStore(forgetful{}).SetKeepAlive(keepAlive).SetPingTimeout(pingTimeout).SetConnectTimeout(connectTimeout / 2).
		SetAutoReconnect(true).SetMaxReconnectInterval(2 * time.Second).SetConnectRetry(false).SetOrderMatters(true)
	o.SetUsername(c.config.User).SetPassword(c.config.Password)
	o.SetDefaultPublishHandler(c.message) // one for all: a message that two filters match is one message
	if c.config.Broker.Scheme == "tls" {
		t, err := c.tls()
		if err != nil {
			return nil, err
		}
		o.SetTLSConfig(t)
	}
	o.SetCustomOpenConnectionFn(func(*url.URL, paho.ClientOptions) (net.Conn, error) { return c.open() })
	o.SetConnectionLostHandler(func(_ paho.Client, err error) {
		if !c.closing.Load() {
			c.to.Connection(signal.Connection{Up: false, Why: signal.Broken, Detail: err.Error()})
		}
	})
	return o, nil
}

func (c *Controller) tls() (*tls.Config, error) {
	t := &tls.Config{MinVersion: tls.VersionTLS12, ServerName: c.config.Broker.Hostname()}
	if c.config.CAFile == "" {
		return t, nil
	}
	const longest = 1 << 20
	pem, err := readfile.All(c.config.CAFile, longest)
	if err != nil {
		return nil, fmt.Errorf("read the broker's certificate authority: %w", err)
	}
	t.RootCAs = x509.NewCertPool()
	if !t.RootCAs.AppendCertsFromPEM(pem) {
		return nil, fmt.Errorf("%s holds no certificate in PEM form", c.config.CAFile)
	}
	return t, nil
}

func (c *Controller) subscribe(client paho.Client) error {
	filters := map[string]byte{}
	for _, rule := range c.config.Signals {
		filters[rule.Topic] = 0
	}
	if a := c.config.Presence; a != nil {
		filters[a.Topic] = 0
	}
	if u := c.config.Supply; u != nil {
		filters[u.Topic] = 0
	}
	for _, rule := range c.config.System {
		filters[rule.Topic] = 0
	}
	token := client.SubscribeMultiple(filters, nil).(*paho.SubscribeToken)
	if !token.WaitTimeout(connectTimeout) {
		return errors.New("the broker does not confirm the subscription")
	}
	if token.Error() != nil {
		return fmt.Errorf("subscribe: %w", token.Error())
	}
	for topic, code := range token.Result() {
		if code == 0x80 { // MQTT 3.1.1, 3.9.3
			return fmt.Errorf("%w to %s; ask for the right to read it", errNotGranted, topic)
		}
	}
	return nil
}

// message stamps first.
func (c *Controller) message(_ paho.Client, m paho.Message) {
	at := c.clock.Now()
	kept := ""
	switch {
	case m.Retained():
		kept = signal.Retained
	case m.Duplicate():
		kept = signal.Repeated
	}
	if a := c.config.Presence; a != nil && m.Topic() == a.Topic {
		c.present(string(m.Payload()), a)
		return
	}
	raw := shortened(m.Payload())
	c.sample(at, kept, m, raw)
	c.system(at, kept, m.Topic(), m.Payload(), raw)
	for _, told := range c.config.read(m.Topic(), m.Payload()) {
		c.to.Signal(signal.Signal{At: at, Address: told.address, State: told.state, Kept: kept, Raw: raw})
	}
}

// sample delivers a voltage of the supply; one that was kept is of another time.
func (c *Controller) sample(at time.Time, kept string, m paho.Message, raw string) {
	u := c.config.Supply
	if u == nil || m.Topic() != u.Topic || kept != "" {
		return
	}
	to, takes := c.to.(signal.Sampler)
	if volt, ok := u.volt(m.Payload()); ok && takes {
		to.Sample(signal.Sample{At: at, Volt: volt, Raw: raw})
	}
}

// present tells what the controller says of itself. On a link that stands still, that it is
// there is told when the link moves again.
func (c *Controller) present(payload string, a *PresenceRule) {
	c.reach.Lock()
	defer c.reach.Unlock()
	switch payload {
	case a.Here:
		c.away = false
		if !c.standing {
			c.to.Connection(signal.Connection{Up: true, Why: signal.ControllerUp})
		}
	case a.Away:
		c.away = true
		c.to.Connection(signal.Connection{Up: false, Why: signal.ControllerGone})
	}
}

// shortened quotes a payload, so that no byte of it can disturb a screen.
func shortened(payload []byte) string {
	text := string(payload)
	if len(text) > maxRaw {
		text = text[:maxRaw]
	}
	quoted := strconv.Quote(text)
	if len(payload) > maxRaw {
		quoted += "…"
	}
	return quoted
}

// Close ends the connection. What is guarded still, the broker switches off.
func (c *Controller) Close() error {
	c.closing.Store(true)
	c.dropGuards()
	if c.client != nil {
		c.client.Disconnect(250)
	}
	return nil
}
