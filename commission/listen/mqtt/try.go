package mqtt

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io"
	"io/fs"
	"maps"
	"net"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/eclipse/paho.mqtt.golang/packets"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

const (
	mostTopics = 200 // kept of those that are in no rule, and of each rule
	mostShown  = 64  // bytes of a payload
)

// Heard is a topic from which something came while the map was tried.
type Heard struct {
	Topic   string // quoted where it holds what could disturb a screen
	Live    bool   // it came while listening; else the broker had kept it
	Payload string // the first, quoted, shortened
	// Addresses are those that the rules make of the topic; none for presence.
	Addresses []string
	// NotUnderstood is a payload that no rule knows, quoted and shortened; "" if each was.
	NotUnderstood string
	Aspects       []signal.Aspect // that it told of the controller itself
}

// Tried is what came of a map in a while.
type Tried struct {
	Rules  []RuleTried
	Tells  []signal.Aspect // that the map says are told
	Others []Heard         // topics near those of the map that are in no rule
	More   bool            // there were more than are kept
	// Blind tells that the broker lets nobody look beside the map's topics.
	Blind bool
	Lost  error // the connection was lost before the time was over
}

// RuleTried is a topic of the map, and what came from it.
type RuleTried struct {
	Topic string // as controller.yaml has it
	Heard []Heard
}

// Try connects, listens to the map's topics and those beside them for a while, or until
// the context ends, and tells what came. An error says that nothing was listened to.
// Nothing is ever published.
func Try(ctx context.Context, config Config, by clock.Clock, listen time.Duration) (Tried, error) {
	return try(ctx, config, by, listen, false, nil)
}

// Follow is Try that tells each message as it comes, goes on after the connection was lost
// and is back, and ends only with the context. all is to listen to every topic.
func Follow(ctx context.Context, config Config, by clock.Clock, all bool, to Follower) (Tried, error) {
	return try(ctx, config, by, 0, all, to)
}

func try(
	ctx context.Context,
	config Config,
	by clock.Clock,
	listen time.Duration,
	all bool,
	to Follower,
) (Tried, error) {
	c := New(config, by)
	lost, over := make(chan error, 1), make(chan struct{})
	t := &trial{config: &c.config, clock: by, heard: map[string]*Heard{}, to: to, all: all}
	options, err := c.options()
	if err != nil {
		return Tried{}, err
	}
	options.SetAutoReconnect(false).SetDefaultPublishHandler(t.message).
		SetConnectionLostHandler(func(_ paho.Client, err error) { lost <- err })
	if to != nil {
		t.goOn(ctx, c, options)
	}
	if err := c.dial(ctx, options); err != nil {
		return Tried{}, err
	}
	defer func() { _ = c.Close() }()
	if err := c.subscribe(c.client); err != nil {
		return Tried{}, err
	}
	t.lookAround(c.client)
	if to == nil {
		defer by.AfterFunc(listen, func() { close(over) })()
	} else {
		to.Connection(signal.Connection{Up: true})
	}
	select {
	case <-over:
	case <-ctx.Done():
	case err := <-lost:
		return t.result(err), nil
	}
	return t.result(nil), nil
}

// goOn lets a connection that was lost come back, with its topics.
func (t *trial) goOn(ctx context.Context, c *Controller, options *paho.ClientOptions) {
	var before atomic.Bool
	options.SetAutoReconnect(true).SetConnectionLostHandler(func(_ paho.Client, err error) {
		if ctx.Err() == nil {
			t.to.Connection(signal.Connection{Why: signal.Broken, Detail: err.Error()})
		}
	}).SetOnConnectHandler(func(client paho.Client) {
		if !before.Swap(true) {
			return // the first is dealt with by whoever dialled
		}
		err := c.subscribe(client)
		for err != nil && client.IsConnectionOpen() && ctx.Err() == nil {
			t.to.Connection(signal.Connection{Why: signal.Broken, Detail: err.Error()})
			c.pause(resubscribe)
			err = c.subscribe(client)
		}
		if err == nil {
			t.lookAround(client)
			t.to.Connection(signal.Connection{Up: true})
		}
	})
}

// Follower is told what comes, from goroutines of the client.
type Follower interface {
	Message(Message)
	// Connection tells that all topics are heard, or that the connection was lost and why.
	Connection(signal.Connection)
}

// Message is what came on a topic.
type Message struct {
	At      time.Time
	Topic   string // quoted where it holds what could disturb a screen
	Payload string // quoted, shortened
	Kept    bool   // the broker had it from before
	Of      Subject
	Says    []signal.Signal // by the rules: addresses with their states
	Itself  []signal.System // and what the controller says of itself
	// Understood tells that a rule knows the payload, or that it says a voltage, or whether
	// the controller is there. Only what is of some subject can be.
	Understood bool
}

// Subject is what a topic is about by controller.yaml.
type Subject string

// The subjects.
const (
	OfNothing  Subject = ""
	OfSignals  Subject = "signals"
	OfPresence Subject = "presence"
	OfSupply   Subject = "supply"
	OfSystem   Subject = "the controller itself"
)

// message is what a message says.
func (c *Config) message(topic string, body []byte) Message {
	m := Message{Topic: plain(topic), Payload: quoted(body)}
	switch {
	case c.Presence != nil && c.Presence.Topic == topic:
		m.Of, m.Understood = OfPresence, slices.Contains([]string{c.Presence.Here, c.Presence.Away}, string(body))
		return m
	case c.Supply != nil && c.Supply.Topic == topic:
		m.Of = OfSupply
		_, m.Understood = c.Supply.volt(body)
	}
	if itself, ruled := c.readSystem(topic, body); ruled {
		m.Understood = (m.Of != OfSupply || m.Understood) && len(itself) > 0
		m.Of, m.Itself = OfSystem, itself
	}
	said := c.read(topic, body)
	if len(said) == 0 {
		return m
	}
	understood := m.Of == OfNothing || m.Understood
	m.Of = OfSignals
	for _, told := range said {
		understood = understood && told.state != signal.NotUnderstood
		m.Says = append(m.Says, signal.Signal{Address: told.address, State: told.state, Raw: m.Payload})
	}
	m.Understood = understood
	return m
}

// trial collects what comes.
type trial struct {
	config *Config
	clock  clock.Clock
	to     Follower // nil for none
	all    bool     // every topic is beside the map
	mu     sync.Mutex
	heard  map[string]*Heard
	more   bool
	blind  bool
	latest string    // the message before, and when it came
	at     time.Time // of latest
	kept   map[string]string
}

// doubled is within what time a broker delivers one message for each of several
// subscriptions that match it (MQTT 3.1.1, 3.3.5): assumed, and only ever taken of the very
// same message.
const doubled = 20 * time.Millisecond

// repeated tells whether a message is a copy for another subscription. What was kept is
// delivered for each of them. Needs the lock.
func (t *trial) repeated(m Message) bool {
	if m.Kept {
		before, was := t.kept[m.Topic]
		if t.kept == nil {
			t.kept = map[string]string{}
		}
		if len(t.kept) < mostTopics*(1+len(t.config.topics())) {
			t.kept[m.Topic] = m.Payload
		}
		return was && before == m.Payload
	}
	same := m.Topic + " " + m.Payload
	if same == t.latest && m.At.Sub(t.at) < doubled {
		return true
	}
	t.latest, t.at = same, m.At
	return false
}

// lookAround listens beside the map, too, so that a wrong topic is seen.
func (t *trial) lookAround(client paho.Client) {
	filters := t.config.around()
	if t.all {
		filters = map[string]byte{"#": 0}
	}
	if len(filters) == 0 {
		return
	}
	token := client.SubscribeMultiple(filters, nil).(*paho.SubscribeToken)
	if !token.WaitTimeout(connectTimeout) || token.Error() != nil {
		t.setBlind()
		return
	}
	for _, code := range token.Result() {
		if code == 0x80 {
			t.setBlind()
		}
	}
}

func (t *trial) setBlind() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.blind = true
}

// around are filters for what stands beside the topics of the map: all below the same
// first level, or all of one level. A map that begins with any level has no beside.
func (c *Config) around() map[string]byte {
	filters := map[string]byte{}
	for _, topic := range c.topics() {
		first, _, deeper := strings.Cut(topic, "/")
		switch {
		case first == "+" || first == "" || strings.HasPrefix(first, "$"):
		case deeper:
			filters[first+"/#"] = 0
		default:
			filters["+"] = 0
		}
	}
	return filters
}

// SignalTopics are the topics of the signals, each once, as controller.yaml has them.
func (c *Config) SignalTopics() []string { return (&Config{Signals: c.Signals}).topics() }

// topics are those of the map, each once, in its order.
func (c *Config) topics() []string {
	var all []string
	add := func(topic string) {
		if !slices.Contains(all, topic) {
			all = append(all, topic)
		}
	}
	for _, rule := range c.Signals {
		add(rule.Topic)
	}
	if c.Presence != nil {
		add(c.Presence.Topic)
	}
	if c.Supply != nil {
		add(c.Supply.Topic)
	}
	for _, rule := range c.System {
		add(rule.Topic)
	}
	return all
}

func (t *trial) message(_ paho.Client, came paho.Message) {
	at := t.clock.Now()
	m := t.config.message(came.Topic(), came.Payload())
	m.At, m.Kept = at, came.Retained()
	for i := range m.Says {
		m.Says[i].At = at
	}
	for i := range m.Itself {
		m.Itself[i].At, m.Itself[i].Raw = at, m.Payload
	}
	t.mu.Lock()
	again := t.to != nil && t.repeated(m)
	t.collect(came.Topic(), m)
	t.mu.Unlock()
	if t.to != nil && !again {
		t.to.Message(m)
	}
}

// collect adds a message to what came from its topic. Needs the lock.
func (t *trial) collect(topic string, m Message) {
	h := t.heard[topic]
	if h == nil {
		if len(t.heard) >= mostTopics*(1+len(t.config.topics())) {
			t.more = true
			return
		}
		h = &Heard{Topic: m.Topic, Payload: m.Payload}
		t.heard[topic] = h
	}
	h.Live = h.Live || !m.Kept
	for _, said := range m.Says {
		if !slices.Contains(h.Addresses, said.Address) {
			h.Addresses = append(h.Addresses, said.Address)
		}
	}
	for _, said := range m.Itself {
		if !slices.Contains(h.Aspects, said.Aspect) {
			h.Aspects = append(h.Aspects, said.Aspect)
		}
	}
	if m.Of != OfNothing && !m.Understood && h.NotUnderstood == "" {
		h.NotUnderstood = m.Payload
	}
}

// result sorts what came by topic.
func (t *trial) result(lost error) Tried {
	t.mu.Lock()
	defer t.mu.Unlock()
	r := Tried{Tells: t.config.tells(), More: t.more, Blind: t.blind, Lost: lost}
	for _, topic := range t.config.topics() {
		r.Rules = append(r.Rules, RuleTried{Topic: topic})
	}
	for _, topic := range slices.Sorted(maps.Keys(t.heard)) {
		ruled := false
		for i := range r.Rules {
			if _, ok := payload.Match(r.Rules[i].Topic, topic); ok {
				r.Rules[i].Heard, ruled = append(r.Rules[i].Heard, *t.heard[topic]), true
			}
		}
		switch {
		case ruled:
		case len(r.Others) < mostTopics:
			r.Others = append(r.Others, *t.heard[topic])
		default:
			r.More = true
		}
	}
	return r
}

// plain is a topic as it is, or quoted where it is unfit for a screen.
func plain(topic string) string {
	if q := strconv.Quote(shortenedTo(topic, 200)); q != `"`+topic+`"` {
		return q
	}
	return topic
}

func quoted(payload []byte) string {
	text := shortenedTo(string(payload), mostShown)
	return strconv.Quote(text) + strings.Repeat("…", min(1, len(payload)-len(text)))
}

func shortenedTo(text string, most int) string { return text[:min(len(text), most)] }

// Advice is what to do when the broker could not be listened to.
func (c Config) Advice(err error) string {
	var unknown *net.DNSError
	var foreign x509.UnknownAuthorityError
	var name x509.HostnameError
	var invalid x509.CertificateInvalidError
	var record tls.RecordHeaderError
	var timeout net.Error
	switch {
	case errors.Is(err, errNotGranted):
		return "the broker is there and knows you: who runs it has to let you read the topics of controller.yaml"
	case errors.Is(err, packets.ErrorRefusedBadUsernameOrPassword), errors.Is(err, packets.ErrorRefusedNotAuthorised):
		return "the broker is there and refuses you: check user and password in controller.yaml"
	case errors.Is(err, packets.ErrorRefusedIDRejected), errors.Is(err, packets.ErrorRefusedBadProtocolVersion):
		return "the broker is there and does not take MQTT 3.1.1 from us: ask who runs it"
	case errors.As(err, &unknown):
		return "no such host is known here: check the name in broker, and this computer's network"
	case errors.As(err, &foreign):
		return "the broker's certificate is of an authority that this computer does not know: name its PEM file as ca_file"
	case errors.As(err, &name):
		return "the broker's certificate is for another name: write the name that it is for as broker"
	case errors.As(err, &invalid):
		return "the broker's certificate is not valid now: check its dates, and the clock of this computer"
	case errors.As(err, &record):
		return "what answers there does not speak TLS: check the port, or write tcp:// if there is none"
	case errors.Is(err, fs.ErrNotExist):
		return "check the path in ca_file: it counts from the folder of controller.yaml"
	case errors.Is(err, syscall.ECONNREFUSED):
		return "nothing listens at this port: check the port, and whether the broker runs"
	case errors.Is(err, io.EOF) && c.Broker.Scheme == "tls":
		return "what answers there hangs up: check the port, or write tcp:// if the broker has no TLS"
	case errors.Is(err, io.EOF):
		return "what answers there hangs up: check the port, or write tls:// if the broker wants TLS"
	case errors.Is(err, errNoAnswer), errors.As(err, &timeout) && timeout.Timeout():
		return "nothing answers: check the address, the network, and whether a firewall lies between"
	}
	return "check broker, user and password in controller.yaml, and whether the broker runs"
}
