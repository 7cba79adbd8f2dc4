package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// nobody takes what a source hears where only who watches is told.
type nobody struct{}

func (nobody) Signal(signal.Signal)         {}
func (nobody) Connection(signal.Connection) {}

// webFailed is why nothing could be listened to, and what to do.
func webFailed(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return errors.New("ended before anything was listened to")
	}
	return fmt.Errorf("%w\n    %s", err, web.Advice(err))
}

// calls is what came of calls.
type calls struct {
	mu                         sync.Mutex
	all, kept, repeated, wrong int
	refused                    map[string]int // by the line of the answer
	paths                      map[string]int // that no rule is about
	came                       map[string]int // by address
	garbled                    map[string]string
	aspects                    map[signal.Aspect]bool
}

func newCalls() *calls {
	return &calls{refused: map[string]int{}, paths: map[string]int{}, came: map[string]int{}, garbled: map[string]string{},
		aspects: map[signal.Aspect]bool{}}
}

// mostCounted bounds what is counted each by itself: whoever can call chooses it.
const mostCounted = 2000

func count[K comparable](in map[K]int, key K) {
	if in[key] > 0 || len(in) < mostCounted {
		in[key]++
	}
}

func (c *calls) take(one web.Came) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.all++
	switch {
	case one.Status < 300:
		c.kept++
	case one.Path == "":
		c.wrong++
		return
	case one.Status == 404:
		count(c.paths, one.Path)
		return
	default:
		count(c.refused, fmt.Sprintf("%d %s", one.Status, one.Why))
		return
	}
	if one.Repeated {
		c.repeated++
	}
	for _, s := range one.Says {
		count(c.came, s.Address)
	}
	for _, s := range one.Itself {
		c.aspects[s.Aspect] = true
	}
	if !one.Understood && len(c.garbled) < mostNamed {
		c.garbled[one.Path] = one.Body
	}
}

// tell tells what came, and what did not; of zones nothing without a site.
func (c *calls) tell(s streams, st *site.Site, tells []signal.Aspect) {
	c.mu.Lock()
	defer c.mu.Unlock()
	s.wrapped(fmt.Sprintf("%s: %d kept, of them %d that said again what was said.", callsOf(c.all), c.kept, c.repeated))
	if c.wrong > 0 {
		s.wrapped(fmt.Sprintf("%s with a wrong token or secret, or without one: does the controller have those of "+
			"controller.yaml?", callsOf(c.wrong)))
	}
	for _, why := range slices.Sorted(maps.Keys(c.refused)) {
		s.wrapped(fmt.Sprintf("%s refused: %s", callsOf(c.refused[why]), why))
	}
	s.often("paths that no rule of controller.yaml is about", c.paths)
	for _, path := range slices.Sorted(maps.Keys(c.garbled)) {
		s.wrapped(fmt.Sprintf("%s said %s, which controller.yaml does not know", screen.Clean(path), c.garbled[path]))
	}
	if len(tells) > 0 {
		s.aspectsTold(tells, func(a signal.Aspect) bool { return c.aspects[a] })
	}
	if st == nil {
		return
	}
	strangers := map[string]int{}
	for address, n := range c.came {
		if st.ZoneAt(address) == nil {
			strangers[address] = n
		}
	}
	s.often("addresses that no zone of site.yaml has", strangers)
	s.zonesCame(st, func(address string) bool { return c.came[address] > 0 })
}

// often names some things that came, and how often.
func (s streams) often(what string, all map[string]int) {
	if len(all) == 0 {
		return
	}
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(all)) {
		parts = append(parts, fmt.Sprintf("%s (%d)", screen.Cut(screen.Clean(name), 60), all[name]))
	}
	if len(parts) > mostNamed {
		parts = append(parts[:mostNamed], "…")
	}
	s.wrapped(fmt.Sprintf("%d %s: %s", len(all), what, strings.Join(parts, ", ")))
}

func callsOf(n int) string {
	if n == 1 {
		return "1 call"
	}
	return fmt.Sprintf("%d calls", n)
}

// tryLine shows a line for a shell that reports a zone. The secret stands in it only on a terminal: whoever
// sits there may read controller.yaml, and would mistype it; what goes into a file or through a pipe is kept
// by others.
func (s streams) tryLine(c web.HookConfig, st *site.Site) {
	addresses := []string{"1"}
	if st != nil {
		for i := range st.Zones {
			addresses = append(addresses, st.Zones[i].Address)
		}
		addresses = addresses[1:]
	}
	onTerminal := terminal.Columns(s.out) > 0
	for _, address := range addresses {
		if line, ok := c.Curl(address, onTerminal); ok {
			s.say("To try it, from another terminal:\n\n  %s\n", line)
			if !onTerminal {
				s.say("SECRET and TOKEN stand for those of controller.yaml.")
			}
			return
		}
	}
}

// tryHook lets the controller call for a while and tells what came.
func (s streams) tryHook(ctx context.Context, c web.HookConfig, st *site.Site, listen time.Duration) error {
	hook, heard := web.NewHook(c, clock.Real{}), newCalls()
	hook.Watch(heard.take)
	if err := hook.Start(ctx, nobody{}); err != nil {
		return webFailed(err)
	}
	defer func() { _ = hook.Close() }()
	s.say("\nListening for web hooks at %s for %s; operate a detector of each zone. Ctrl-C ends it early.",
		screen.Clean(c.At), listen)
	s.tryLine(c, st)
	select {
	case <-ctx.Done():
	case <-time.After(listen):
	}
	s.say("")
	heard.tell(s, st, hook.About().Tells)
	return nil
}

// tryPoll asks the controller for a while and tells what came.
func (s streams) tryPoll(ctx context.Context, c web.PollConfig, st *site.Site, listen time.Duration) error {
	poll, err := web.NewPoll(c, clock.Real{})
	if err != nil {
		return webFailed(err)
	}
	heard := &answers{}
	poll.Watch(heard.take)
	s.say("\nAsking %s every %s for %s; operate a detector of each zone. Ctrl-C ends it early.", screen.Clean(c.Host()),
		checks.FormatDuration(c.Every), listen)
	if err := poll.Start(ctx, nobody{}); err != nil {
		return webFailed(err)
	}
	select {
	case <-ctx.Done():
	case <-time.After(listen):
	}
	_ = poll.Close()
	s.say("")
	return heard.tell(s, c, st)
}

// answers is what came of questions.
type answers struct {
	mu                     sync.Mutex
	all, unchanged, failed int
	why                    error
	last                   web.Answer
	changes                map[string]int // by address
}

func (a *answers) take(one web.Answer) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.all++; one.Failed != nil {
		a.failed, a.why = a.failed+1, one.Failed
		return
	}
	if one.Unchanged {
		a.unchanged++
	}
	if len(one.Says) == 0 && len(one.Itself) == 0 {
		return
	}
	if a.changes == nil {
		a.changes = map[string]int{}
	}
	for i, s := range one.Says {
		if i < len(a.last.Says) && a.last.Says[i].State != s.State {
			a.changes[s.Address]++
		}
	}
	a.last = one
}

func (a *answers) tell(s streams, c web.PollConfig, st *site.Site) error {
	a.mu.Lock()
	defer a.mu.Unlock()
	s.wrapped(fmt.Sprintf("%d questions: %d answers, %d of them that nothing had changed; %d failed.", a.all,
		a.all-a.failed, a.unchanged, a.failed))
	if a.why != nil {
		s.wrapped("The last failure: " + a.why.Error())
	}
	rows := [][]string{{"Address", "Stands at", "Says now", "Changed"}}
	for i, said := range a.last.Says {
		address := screen.Clean(said.Address)
		if st != nil && st.ZoneAt(said.Address) == nil {
			address += " (no zone has it)"
		}
		state := string(said.State)
		if said.State == signal.NotUnderstood {
			state = "NOT UNDERSTOOD: " + said.Raw
		}
		rows = append(rows, []string{address, screen.Clean(c.Signals[i].Value), state, fmt.Sprint(a.changes[said.Address])})
	}
	if err := s.wideTable(rows, 60); err != nil {
		return err
	}
	for _, pointer := range a.last.Missing {
		s.wrapped(fmt.Sprintf("Nothing stands at %q in the answer, or what no rule knows: %s", pointer, a.last.Body))
	}
	s.wrapped(fmt.Sprintf("A report is seen up to %s late; what comes and goes between two questions is not seen.",
		checks.FormatDuration(c.Every+c.Timeout)))
	if st != nil {
		s.zonesCame(st, func(address string) bool { return a.changes[address] > 0 })
	}
	return nil
}
