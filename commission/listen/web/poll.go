package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptrace"
	"net/url"
	"strconv"
	"sync"
	"sync/atomic"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/signal"
)

// mostFailures in a row are the loss of the connection.
const mostFailures = 2

// Poll is a source that asks the controller again and again. It implements signal.Source.
//
// A state is told when it differs from the one before, stamped when the first byte of the answer was
// read. It changed since the question before was sent, at most Every and Timeout ago: where more time has
// passed, the connection is told lost, and what the answer says is no response.
type Poll struct {
	config PollConfig
	clock  clock.Clock
	client *http.Client
	watch  func(Answer) // nil for nobody
	to     signal.Receiver
	ctx    context.Context
	end    context.CancelFunc
	done   sync.WaitGroup

	// Of the goroutine that asks.
	etag     string
	body     []byte    // of the last answer that had one
	asked    time.Time // when the question of the last good answer was sent
	begun    bool
	failures int
	down     bool
	states   []string // of each signal, what it said last
	aspects  []string
}

// Answer is what came of a question, as somebody is shown it who watches.
type Answer struct {
	At        time.Time
	Body      string // quoted, shortened
	Unchanged bool   // the controller says that nothing has changed (304)
	Failed    error
	Says      []signal.Signal // all that it says
	Itself    []signal.System
	Changed   int // of them, those that differ from the answer before
	// Missing are pointers at which nothing is found.
	Missing []string
}

// NewPoll makes a source; nothing is asked before Start. Signals are stamped by the clock.
func NewPoll(c PollConfig, by clock.Clock) (*Poll, error) {
	over, err := client(c.CAFile)
	if err != nil {
		return nil, err
	}
	return &Poll{config: c, clock: by, client: over, states: make([]string, len(c.Signals)),
		aspects: make([]string, len(c.System))}, nil
}

// Watch tells the result of each question. It has to be called before Start.
func (p *Poll) Watch(f func(Answer)) { p.watch = f }

func (c *PollConfig) between() time.Duration { return c.Every + c.Timeout }

// About describes the source.
func (p *Poll) About() signal.Listening {
	asked := p.config.between()
	return signal.Listening{Way: signal.ByPolling, TimedBy: signal.ByComputer,
		UncertaintyNS: (asked + uncertainty).Nanoseconds(), AskedNS: asked.Nanoseconds(), Simulated: p.config.Practice,
		Tells: tells(p.config.System)}
}

// Start asks once, and fails if that does; then it goes on asking until Close.
func (p *Poll) Start(ctx context.Context, to signal.Receiver) error {
	p.to = to
	p.ctx, p.end = context.WithCancel(context.Background())
	sent := p.clock.Now()
	a, err := p.ask(ctx)
	if err != nil {
		p.end()
		return fmt.Errorf("ask the controller: %w", err)
	}
	p.good(sent, a)
	p.done.Go(func() { p.goOn(sent) })
	return nil
}

// goOn asks until Close, each time a while after the question before was sent.
func (p *Poll) goOn(sent time.Time) {
	for p.pause(sent.Add(p.next())) {
		sent = p.clock.Now()
		a, err := p.ask(p.ctx)
		switch {
		case p.ctx.Err() != nil:
			return
		case err != nil:
			p.failed(err)
		default:
			p.good(sent, a)
		}
	}
}

// next is how long after a question the next is sent. One that failed at once is repeated so soon that what is
// answered then changed within the time that is told: a single answer that fails is no loss, and a loss is no longer
// than it has to be.
func (p *Poll) next() time.Duration {
	if p.failures > 0 {
		return min(p.config.Every, p.config.Timeout/2)
	}
	return p.config.Every
}

// pause waits for an instant; false means that it is over.
func (p *Poll) pause(until time.Time) bool {
	over := make(chan struct{})
	defer p.clock.AfterFunc(max(0, until.Sub(p.clock.Now())), func() { close(over) })()
	select {
	case <-over:
		return true
	case <-p.ctx.Done():
		return false
	}
}

// answer is a good one.
type answer struct {
	at        time.Time // its first byte was read; its last where that came late
	unchanged bool
	etag      string
	body      []byte
}

var (
	errLong    = fmt.Errorf("the answer is longer than %d bytes", mostBytes)
	errNothing = errors.New("the controller says that nothing has changed, and never said what there is")
	errSlow    = errors.New("no answer in time")
)

// promptAnswer is how long an answer may take from its first byte to its last and still count as having
// come with the first: within the uncertainty of every response.
const promptAnswer = uncertainty

// ask asks once. The whole answer has to come within the timeout.
func (p *Poll) ask(ctx context.Context) (answer, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	defer p.clock.AfterFunc(p.config.Timeout, func() { cancel(errSlow) })()
	var first atomic.Pointer[time.Time]
	var a answer
	ctx = httptrace.WithClientTrace(ctx, &httptrace.ClientTrace{GotFirstResponseByte: func() {
		now := p.clock.Now()
		first.Store(&now)
	}})
	r, err := request(ctx, http.MethodGet, p.config.URL)
	if err != nil {
		return a, err
	}
	p.config.on(r)
	if p.etag != "" {
		r.Header.Set("If-None-Match", p.etag)
	}
	came, err := p.client.Do(r)
	if err != nil {
		return a, why(ctx, err)
	}
	defer func() { _ = came.Body.Close() }()
	a.at = *first.Load()
	switch {
	case came.Header.Get(PracticeHeader) != "" && !p.config.Practice:
		return a, ErrPractice
	case came.StatusCode == http.StatusNotModified && p.etag != "":
		a.unchanged = true
		return a, nil
	case came.StatusCode == http.StatusNotModified:
		return a, errNothing
	case came.StatusCode != http.StatusOK:
		return a, statusError(came.StatusCode)
	}
	a.etag = came.Header.Get("ETag")
	a.body, err = io.ReadAll(io.LimitReader(came.Body, mostBytes+1))
	// A controller may send the head of its answer before it looks.
	if whole := p.clock.Now(); whole.Sub(a.at) > promptAnswer {
		a.at = whole
	}
	switch {
	case err != nil:
		return a, why(ctx, err)
	case len(a.body) > mostBytes:
		return a, errLong
	}
	if p.config.pointed() {
		err = payload.Strict(a.body)
	}
	return a, err
}

func why(ctx context.Context, err error) error {
	if cause := context.Cause(ctx); errors.Is(cause, errSlow) {
		return errSlow
	}
	return bare(err)
}

// pointed tells whether any rule looks into JSON.
func (c *PollConfig) pointed() bool {
	for _, r := range c.Signals {
		if r.Value != "" {
			return true
		}
	}
	for _, r := range c.System {
		if r.Value != "" {
			return true
		}
	}
	return false
}

// failed takes a question that was not answered well.
func (p *Poll) failed(err error) {
	if p.failures++; p.failures == mostFailures && !p.down {
		p.down = true
		p.to.Connection(signal.Connection{Why: signal.Broken, Detail: err.Error()})
	}
	if p.watch != nil {
		p.watch(Answer{At: p.clock.Now(), Failed: err})
	}
}

// good takes an answer: all that it says after a time in which nothing was known, else what differs
// from the answer before.
func (p *Poll) good(sent time.Time, a answer) {
	kept := ""
	switch late := a.at.Sub(p.asked); {
	case !p.begun:
		kept = signal.Retained
	case p.down:
		kept = signal.Repeated
	case late > p.config.between():
		kept = signal.Repeated
		p.to.Connection(signal.Connection{Why: signal.Stalled,
			Detail: "no answer for " + late.Round(time.Millisecond).String()})
	}
	if kept == signal.Repeated {
		p.to.Connection(signal.Connection{Up: true, Why: signal.BackAgain})
	}
	p.asked, p.begun, p.down, p.failures = sent, true, false, 0
	if a.unchanged && kept == "" {
		p.tell(Answer{At: a.at, Unchanged: true})
		return
	}
	if !a.unchanged {
		p.etag, p.body = a.etag, a.body
	}
	a.body = p.body
	told := Answer{At: a.at, Body: quoted(a.body), Unchanged: a.unchanged}
	p.signals(a, kept, &told)
	p.system(a, kept, &told)
	p.tell(told)
}

func (p *Poll) tell(a Answer) {
	if p.watch != nil {
		p.watch(a)
	}
}

func (p *Poll) signals(a answer, kept string, told *Answer) {
	for i, rule := range p.config.Signals {
		text, there := rule.Text(a.body)
		if !there {
			told.Missing = append(told.Missing, rule.Value)
		}
		s := signal.Signal{At: a.at, Address: rule.Address, State: rule.State(a.body), Kept: kept,
			Raw: quoted([]byte(text))}
		told.Says = append(told.Says, s)
		if now := string(s.State) + s.Raw; kept != "" || now != p.states[i] {
			p.states[i] = now
			told.Changed++
			p.to.Signal(s)
		}
	}
}

func (p *Poll) system(a answer, kept string, told *Answer) {
	to, takes := p.to.(signal.SystemReceiver)
	for i, rule := range p.config.System {
		present, known := payload.Says(rule.Value, rule.Present, rule.Absent, a.body)
		if !known {
			told.Missing = append(told.Missing, rule.Value)
			continue
		}
		text, _ := payload.Rule{Value: rule.Value}.Text(a.body)
		s := signal.System{At: a.at, Aspect: rule.Aspect, Present: present, Kept: kept, Raw: quoted([]byte(text))}
		told.Itself = append(told.Itself, s)
		if now := strconv.FormatBool(present); kept != "" || now != p.aspects[i] {
			p.aspects[i] = now
			told.Changed++
			if takes {
				to.System(s)
			}
		}
	}
}

// Close ends asking.
func (p *Poll) Close() error {
	if p.end != nil {
		p.end()
		p.done.Wait()
	}
	p.client.CloseIdleConnections()
	return nil
}

// Host is whom it asks, without what stands behind it.
func (c *PollConfig) Host() string {
	u, err := url.Parse(c.URL)
	if err != nil {
		return ""
	}
	return u.Host
}
