package mqtt

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"sync"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/eclipse/paho.mqtt.golang/packets"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/site"
)

// A guard is a connection of its own for one output that may be energised: the broker
// holds the command that switches it off as its last will (MQTT 3.1.1, 3.1.2.5), and
// publishes it when the connection ends without a word. The output is switched over the
// same connection: so nothing that energises it can arrive after its will.
type guard struct {
	rule OutputRule
	conn net.Conn
	lost func(error)
	gone chan struct{} // closed when nothing is read any more
	acks chan uint16   // the latest command that the broker has taken

	command sync.Mutex // one at a time
	mu      sync.Mutex
	over    bool // ended by us
	unsure  bool // a command may still be on its way
	latest  uint16
}

const (
	// guardKeepAlive makes the broker give a silent guard up after one and a half times
	// as long (MQTT 3.1.1, 3.1.2.10). We speak three times in that time, so that a computer
	// that is busy for a second silences no sounder.
	guardKeepAlive = 2 * time.Second
	guardSpeaks    = time.Second
	// guardSilence is how long the broker may be silent before the guard counts as lost.
	guardSilence = 4 * time.Second
	guardConnect = 5 * time.Second
	// goodbye is how long it is waited that the broker has heard us leave.
	goodbye = 500 * time.Millisecond
	// secondWay is how long one connection is waited for before the other is tried, too.
	secondWay = 300 * time.Millisecond
)

var (
	errNotOurs   = errors.New("controller.yaml does not say how it is switched")
	errNotWanted = errors.New("controller.yaml says last_will: false")
	errSilent    = errors.New("the broker is silent")
)

// GuardOff implements signal.Guarded by a last will.
func (c *Controller) GuardOff(ctx context.Context, o *site.Output, lost func(error)) (release func(), err error) {
	rule := c.config.Output(o)
	switch {
	case rule == nil:
		return nil, errNotOurs
	case rule.NoLastWill:
		return nil, errNotWanted
	}
	g, err := c.guard(ctx, *rule)
	if err != nil {
		return nil, err
	}
	g.lost = lost
	c.mu.Lock()
	c.guards[g] = true
	c.mu.Unlock()
	go c.keep(g)
	return func() { c.forget(g); g.release() }, nil
}

// TryGuard tries whether the broker would guard an output, beside the main connection,
// which has to survive that. Nothing is published, and the will is discarded.
func TryGuard(ctx context.Context, config Config, by clock.Clock, o *site.Output) error {
	c := New(config, by)
	options, err := c.options()
	if err != nil {
		return err
	}
	options.SetAutoReconnect(false).SetConnectionLostHandler(func(paho.Client, error) {}).
		SetDefaultPublishHandler(func(paho.Client, paho.Message) {})
	if err := c.dial(ctx, options); err != nil {
		return err
	}
	defer func() { _ = c.Close() }()
	lost := make(chan error, 1)
	release, err := c.GuardOff(ctx, o, func(err error) { lost <- err })
	if err != nil {
		return err
	}
	defer release()
	if err := c.subscribe(c.client); err != nil { // so that the broker has dealt with both
		return fmt.Errorf("the broker does not let two connections stand: %w", err)
	}
	select {
	case err := <-lost:
		return fmt.Errorf("the broker does not let two connections stand: %w", err)
	default:
		return nil
	}
}

// guard connects with a will, and returns once the broker has taken it.
func (c *Controller) guard(ctx context.Context, rule OutputRule) (*guard, error) {
	ctx, cancel := context.WithTimeout(ctx, guardConnect)
	defer cancel()
	conn, err := c.connection(ctx)
	if err != nil {
		return nil, fmt.Errorf("connect to the broker at %s: %w", c.config.Broker.Host, err)
	}
	stop := context.AfterFunc(ctx, func() { _ = conn.Close() })
	defer stop()
	if err := c.introduce(conn, rule); err != nil {
		_ = conn.Close()
		return nil, fmt.Errorf("the broker takes no last will: %w", err)
	}
	return &guard{rule: rule, conn: conn, gone: make(chan struct{}), acks: make(chan uint16, 1)}, nil
}

// introduce is CONNECT with the will, and the broker's answer.
func (c *Controller) introduce(conn net.Conn, rule OutputRule) error {
	p := packets.NewControlPacket(packets.Connect).(*packets.ConnectPacket)
	p.ProtocolName, p.ProtocolVersion, p.CleanSession = "MQTT", 4, true
	p.ClientIdentifier, p.Keepalive = newID(), uint16(guardKeepAlive/time.Second)
	p.WillFlag, p.WillQos, p.WillTopic, p.WillMessage = true, 1, rule.Topic, []byte(rule.Off)
	p.UsernameFlag, p.Username = c.config.User != "", c.config.User
	p.PasswordFlag, p.Password = c.config.Password != "", []byte(c.config.Password)
	if err := p.Write(conn); err != nil {
		return err
	}
	answer, err := packets.ReadPacket(conn)
	if err != nil {
		return err
	}
	ack, is := answer.(*packets.ConnackPacket)
	if !is {
		return errors.New("it does not answer")
	}
	if ack.ReturnCode == packets.Accepted {
		return nil
	}
	return cmp.Or(packets.ConnErrors[ack.ReturnCode], fmt.Errorf("it refuses with code %d", ack.ReturnCode))
}

// keep hears what the broker says until the connection ends, and speaks to it.
func (c *Controller) keep(g *guard) {
	stop := make(chan struct{})
	go g.speak(stop)
	err := g.hear()
	close(stop)
	_ = g.conn.Close()
	close(g.gone)
	c.forget(g)
	if g.end() {
		g.lost(err)
	}
}

func (c *Controller) forget(g *guard) {
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.guards, g)
}

func (g *guard) hear() error {
	for {
		if err := g.conn.SetReadDeadline(time.Now().Add(guardSilence)); err != nil {
			return err
		}
		p, err := packets.ReadPacket(g.conn)
		var late net.Error
		switch {
		case errors.As(err, &late) && late.Timeout():
			return errSilent
		case err != nil:
			return err
		}
		if ack, is := p.(*packets.PubackPacket); is {
			select {
			case <-g.acks: // nobody has waited for it
			default:
			}
			g.acks <- ack.MessageID
		}
	}
}

func (g *guard) speak(stop chan struct{}) {
	every := time.NewTicker(guardSpeaks)
	defer every.Stop()
	for {
		select {
		case <-stop:
			return
		case <-every.C:
			_ = g.write(packets.NewControlPacket(packets.Pingreq)) // who reads meets the failure
		}
	}
}

func (g *guard) write(p packets.ControlPacket) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.writeLocked(p)
}

func (g *guard) writeLocked(p packets.ControlPacket) error {
	if g.over {
		return errors.New("the guard is released")
	}
	_ = g.conn.SetWriteDeadline(time.Now().Add(guardSpeaks))
	return p.Write(g.conn)
}

// publish switches the output, and returns once the broker has taken the command.
func (g *guard) publish(ctx context.Context, payload string) error {
	g.command.Lock()
	defer g.command.Unlock()
	p := packets.NewControlPacket(packets.Publish).(*packets.PublishPacket)
	g.latest++
	p.TopicName, p.Payload, p.Qos, p.MessageID = g.rule.Topic, []byte(payload), 1, g.latest
	if err := g.write(p); err != nil {
		return err
	}
	g.setUnsure(true)
	for {
		select {
		case id := <-g.acks:
			if id == p.MessageID {
				g.setUnsure(false)
				return nil
			}
		case <-g.gone:
			return errors.New("the connection was lost")
		case <-ctx.Done():
			return unconfirmed(ctx)
		}
	}
}

func (g *guard) setUnsure(is bool) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.unsure = is
}

// end tells whether it is the first to end the guard.
func (g *guard) end() bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	first := !g.over
	g.over = true
	return first
}

// release takes leave of the broker, which discards the will (MQTT 3.1.1, 3.14.4). Where
// a command may still be on its way, the will follows it.
func (g *guard) release() {
	g.mu.Lock()
	unsure := g.unsure
	if !unsure {
		_ = g.writeLocked(packets.NewControlPacket(packets.Disconnect))
	}
	g.over = true
	g.mu.Unlock()
	if unsure {
		g.drop()
	}
	select {
	case <-g.gone:
	case <-time.After(goodbye):
		_ = g.conn.Close()
	}
}

// drop ends the connection without a word: the broker publishes the will.
func (g *guard) drop() {
	g.end()
	_ = g.conn.Close()
}

// guardOf is the guard that stands for an output, nil for none.
func (c *Controller) guardOf(rule *OutputRule) *guard {
	c.mu.Lock()
	defer c.mu.Unlock()
	for g := range c.guards {
		if g.rule == *rule {
			return g
		}
	}
	return nil
}

// dropGuards lets the broker switch off what we could not.
func (c *Controller) dropGuards() {
	c.mu.Lock()
	defer c.mu.Unlock()
	for g := range c.guards {
		g.drop()
	}
}
