// Package bench is a practice controller: a process of its own that speaks as controller.yaml says one speaks,
// over MQTT, by web hooks and in answers to requests, with the simulated building behind it. A person, or a
// scenario, operates what is in the building.
//
// It speaks the rules of the file backwards: on the topic that a rule is about, with the payload that the
// rule understands. It speaks only where the same file says practice: yes, by which whatever listens marks
// its record for ever as practice.
package bench

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ErrNoPractice says that the file does not say that it is practice.
var ErrNoPractice = errors.New(`a practice controller speaks only where controller.yaml says: practice: yes`)

// Config is how it speaks: nil for a way that is not spoken.
type Config struct {
	Practice bool
	MQTT     *mqtt.Config
	Hook     *web.HookConfig
	Poll     *web.PollConfig
	HTTP     *web.SwitchConfig
}

// Bench is the practice controller. It implements signal.Receiver and signal.SystemReceiver: its building
// reports to it.
type Bench struct {
	site     *site.Site
	clock    clock.Clock
	scenario Scenario
	building *simulated.Controller
	ways     []way
	events   func(Event)
	work     sync.WaitGroup
	ctx      context.Context
	end      context.CancelFunc

	looking sync.Mutex
	working map[string]bool // outputs

	mu      sync.Mutex // of all below, and of what the ways say
	begun   bool
	states  map[string]signal.State // by address
	aspects map[signal.Aspect]bool
	gone    int       // restarts that are not over
	silent  time.Time // until when
	anew    context.CancelFunc
	storm   context.CancelFunc
}

// way is one way of speaking. All but start and close are called in turn.
type way interface {
	start(ctx context.Context) error
	signal(address string, s signal.State)
	system(a signal.Aspect, present bool)
	volt(v float64)
	reports(address string) bool // any rule has it
	leave()                      // as a controller does that loses its power
	arrive()                     // and tells all again
	close()
}

// Event is something to be shown.
type Event struct {
	At   time.Time
	What What
	// Of is the address, output or way; Detail a state or an error.
	Of, Detail string
	Count      int
}

// What has happened.
type What string

// What can happen.
const (
	Reported    What = "reported"     // Of, Detail the state
	Itself      What = "itself"       // Of the aspect, Detail yes or no
	Ordered     What = "ordered"      // Of the output, Detail on, off, or not understood
	Works       What = "works"        // Of the output: it is heard or seen
	Stops       What = "stops"        // and is no longer
	Left        What = "left"         // the controller is gone
	Arrived     What = "arrived"      // and is back
	Connected   What = "connected"    // Of the way
	Silent      What = "silent"       // Detail for how long
	Stormy      What = "stormy"       // Detail for how long, Count reports a second
	StormOver   What = "storm over"   // Count reports, Detail the time
	CallFailed  What = "call failed"  // Detail why
	CallsAgain  What = "calls again"  // after it failed
	CallsLost   What = "calls lost"   // Count that waited
	Asked       What = "asked"        // for the first time
	NotLetIn    What = "not let in"   // who asks bears no, or a wrong, token
	NotReported What = "not reported" // Of the zone's address: no rule of the file is about it
	Played      What = "played"       // the scenario is over
)

// New makes one. What it does is told to events, from any goroutine, one at a time.
func New(s *site.Site, by clock.Clock, c Config, scenario Scenario, events func(Event)) (*Bench, error) {
	if !c.Practice {
		return nil, ErrNoPractice
	}
	building, err := simulated.New(s, by, scenario.Building)
	if err != nil {
		return nil, err
	}
	b := &Bench{site: s, clock: by, scenario: scenario, building: building, states: map[string]signal.State{},
		aspects: map[signal.Aspect]bool{}, working: map[string]bool{}}
	var one sync.Mutex
	b.events = func(e Event) {
		one.Lock()
		defer one.Unlock()
		events(e)
	}
	if c.MQTT != nil {
		b.ways = append(b.ways, newBroker(b, *c.MQTT, !scenario.Fresh))
	}
	if c.Hook != nil {
		b.ways = append(b.ways, newCaller(b, *c.Hook))
	}
	if c.Poll != nil || c.HTTP != nil {
		server, err := newServer(b, c.Poll, c.HTTP)
		if err != nil {
			return nil, err
		}
		b.ways = append(b.ways, server)
	}
	if len(b.ways) == 0 {
		return nil, errors.New("controller.yaml names no way on which a practice controller could speak")
	}
	return b, nil
}

// sampleEvery is how often the voltage of the supply is told, and lookEvery how often it is looked which
// outputs work.
const (
	sampleEvery = 2 * time.Second
	lookEvery   = 50 * time.Millisecond
)

// Start speaks from now on until Close.
func (b *Bench) Start(ctx context.Context) error {
	b.ctx, b.end = context.WithCancel(context.Background())
	if err := b.building.Start(ctx, b); err != nil {
		return err
	}
	b.mu.Lock()
	b.begun = true
	b.mu.Unlock()
	for _, w := range b.ways {
		if err := w.start(ctx); err != nil {
			return errors.Join(err, b.Close())
		}
	}
	for i := range b.site.Zones {
		b.unreported(b.site.Zones[i].Address)
	}
	b.every(sampleEvery, func() {
		v := b.building.Volts()
		b.speak(func(w way) { w.volt(v) })
	})
	b.every(lookEvery, b.look)
	b.Do(Command{Do: Again})
	return nil
}

// unreported tells of an address that no rule of the file is about.
func (b *Bench) unreported(address string) {
	b.mu.Lock()
	reported := slices.ContainsFunc(b.ways, func(w way) bool { return w.reports(address) })
	b.mu.Unlock()
	if !reported {
		b.tell(Event{What: NotReported, Of: address})
	}
}

func (b *Bench) every(d time.Duration, do func()) {
	b.work.Go(func() {
		for {
			do()
			if !pause(b.ctx, b.clock, d) {
				return
			}
		}
	})
}

// look tells which outputs began to work, or ended.
func (b *Bench) look() {
	b.looking.Lock()
	defer b.looking.Unlock()
	for i := range b.site.Outputs {
		name := b.site.Outputs[i].Name
		works := b.building.Works(name)
		if works == b.working[name] {
			continue
		}
		b.working[name] = works
		what := Stops
		if works {
			what = Works
		}
		b.tell(Event{What: what, Of: name})
	}
}

// Close ends all.
func (b *Bench) Close() error {
	b.end()
	b.work.Wait()
	err := b.building.Close()
	for _, w := range b.ways {
		w.close()
	}
	return err
}

func (b *Bench) tell(e Event) {
	e.At = b.clock.Now()
	b.events(e)
}

// speak says something on all ways, unless nothing is to be said.
func (b *Bench) speak(say func(way)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.gone > 0 || b.clock.Now().Before(b.silent) {
		return
	}
	for _, w := range b.ways {
		say(w)
	}
}

// Signal implements signal.Receiver. What the building says of itself at first is what is told to
// whoever connects.
func (b *Bench) Signal(s signal.Signal) {
	b.mu.Lock()
	begun := b.begun
	if !begun || s.Kept == "" {
		b.states[s.Address] = s.State
	}
	b.mu.Unlock()
	if !begun || s.Kept != "" {
		return
	}
	b.tell(Event{What: Reported, Of: s.Address, Detail: string(s.State)})
	b.speak(func(w way) { w.signal(s.Address, s.State) })
}

// System implements signal.SystemReceiver.
func (b *Bench) System(s signal.System) {
	if s.Kept != "" {
		return
	}
	b.mu.Lock()
	b.aspects[s.Aspect] = s.Present
	b.mu.Unlock()
	present := "no"
	if s.Present {
		present = "yes"
	}
	b.tell(Event{What: Itself, Of: string(s.Aspect), Detail: present})
	b.speak(func(w way) { w.system(s.Aspect, s.Present) })
}

// Connection implements signal.Receiver: a controller that does not stand the switch-over goes down.
func (b *Bench) Connection(c signal.Connection) {
	if c.Up {
		b.arrive()
		return
	}
	b.leave()
}

func (b *Bench) leave() {
	b.mu.Lock()
	b.gone++
	if b.gone == 1 {
		for _, w := range b.ways {
			w.leave()
		}
	}
	b.mu.Unlock()
	b.tell(Event{What: Left})
}

func (b *Bench) arrive() {
	b.mu.Lock()
	if b.gone--; b.gone == 0 {
		for _, w := range b.ways {
			w.arrive()
		}
	}
	b.mu.Unlock()
	b.tell(Event{What: Arrived})
}

// ordered takes a command of an output.
func (b *Bench) ordered(address string, on bool) {
	state := "off"
	if on {
		state = "on"
	}
	for i := range b.site.Outputs {
		if o := &b.site.Outputs[i]; o.Address == address {
			b.tell(Event{What: Ordered, Of: o.Name, Detail: state})
			b.building.Switch(o.Name, on)
		}
	}
	b.look()
}
