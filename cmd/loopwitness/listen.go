package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask/terminal"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/learn"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

func newListen(s streams) *cobra.Command {
	var dir string
	var listen time.Duration
	var all bool
	cmd := &cobra.Command{
		Use:   "listen",
		Short: "Show live what the controller reports, as it came and as controller.yaml reads it",
		Long: "Listen to the controller of controller.yaml and show each message as it comes, in one line: time, address,\n" +
			"state, topic, payload. What no rule of controller.yaml understands, or is about, is named, and so are addresses\n" +
			"that no zone of site.yaml has; that file need not be there. Beside the topics of controller.yaml, those that\n" +
			"begin alike are shown, or all that the broker lets you read with --all. Nothing is ever switched or written.\n" +
			"It ends with Ctrl-C, or after --for, and tells what came and what did not.\n" +
			"Exit status: 0 something came that controller.yaml has a rule for; 1 nothing such came; 2 could not run.",
		Args: cobra.NoArgs,
		RunE: withContext(func(ctx context.Context, _ []string) error {
			if listen < 0 {
				return fmt.Errorf("--for %s is no time to listen; write for example --for 30s", listen)
			}
			if listen > 0 {
				var cancel context.CancelFunc
				ctx, cancel = context.WithTimeout(ctx, listen)
				defer cancel()
			}
			return follow(ctx, s, job.At(dir), all)
		}),
	}
	jobFlag(cmd, &dir)
	cmd.Flags().BoolVar(&all, "all", false, "show every topic that the broker lets you read")
	cmd.Flags().DurationVar(&listen, "for", 0, "how long to listen, for example 60s; until Ctrl-C without it")
	return cmd
}

// follow listens until the context ends.
func follow(ctx context.Context, s streams, f job.Folder, all bool) error {
	st, err := f.Site()
	if err != nil && !errors.Is(err, job.ErrNoSite) {
		return advised(f, err)
	}
	config, err := f.Config(nil)
	if err != nil {
		return err
	}
	h := &heardLive{streams: s, site: st, begun: time.Now(), strangers: map[string]int{},
		connected: "connected; the broker lets the topics be read"}
	switch {
	case len(config.Ways) > 0:
		return h.several(ctx, config, all)
	case config.Way == "simulated":
		return h.simulated(ctx, f)
	case config.Way != "keyboard":
		return h.overWay(ctx, config, config.Way, all)
	}
	return fmt.Errorf("nothing can be listened to where signals come by the keyboard; write in %s how the controller is "+
		"listened to, see: loopwitness site keys listen mqtt", f.ControllerPath())
}

// heardLive shows what is heard. It implements mqtt.Follower and signal.Receiver.
type heardLive struct {
	streams
	site  *site.Site // nil for none
	begun time.Time
	// connected is what is said when the connection is there.
	connected string

	mu        sync.Mutex // of all below, and of what is printed
	messages  int
	ours      int            // of them, those that a rule is about
	garbled   int            // of ours, those that no rule understands
	strangers map[string]int // reports of addresses that no zone has
}

func (h *heardLive) overMQTT(ctx context.Context, c mqtt.Config, all bool) error {
	h.say("Listening to %s. Ctrl-C ends it.", screen.Clean(c.Broker.Host))
	quiet := time.AfterFunc(learn.Silence, func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		if h.ours == 0 {
			h.nothingCame(c)
		}
	})
	defer quiet.Stop()
	tried, err := mqtt.Follow(ctx, c, clock.Real{}, all, h)
	if err != nil {
		return connectFailed(c, err)
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.say("")
	if h.messages > 0 {
		if err := h.tried(tried, h.site); err != nil {
			return err
		}
	} else if tried.Blind {
		h.wrapped(blind)
	}
	h.count()
	if h.ours == 0 {
		h.nothingCame(c)
		return told{errUnsatisfactory}
	}
	return nil
}

// simulated listens to a simulated building that somebody walks through.
func (h *heardLive) simulated(ctx context.Context, f job.Folder) error {
	building, err := simulatedBuilding(h.site)
	if err != nil {
		return err
	}
	source, err := f.Source(building, clock.Real{})
	if err != nil {
		return err
	}
	h.say("Listening to a simulated building that somebody walks through. Ctrl-C ends it.")
	if err := source.Start(ctx, h); err != nil {
		return err
	}
	defer func() { _ = source.Close() }()
	if walker, is := source.(interface{ OperateNext() bool }); is {
		for walker.OperateNext() {
		}
	}
	<-ctx.Done()
	h.mu.Lock()
	defer h.mu.Unlock()
	h.say("")
	h.count()
	return nil
}

// Signal shows what a source reports that has no topics.
func (h *heardLive) Signal(s signal.Signal) {
	h.Message(mqtt.Message{At: s.At, Payload: s.Raw, Kept: s.Kept != "", Of: mqtt.OfSignals, Says: []signal.Signal{s},
		Understood: s.State != signal.NotUnderstood})
}

// Connection shows that the connection came or went.
func (h *heardLive) Connection(c signal.Connection) {
	h.mu.Lock()
	defer h.mu.Unlock()
	text := h.connected
	if !c.Up {
		text = strings.TrimSuffix("NOT CONNECTED: "+c.Detail, ": ")
	}
	h.line(time.Now(), text)
}

// Message shows a message: a line for each address that it reports.
func (h *heardLive) Message(m mqtt.Message) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.messages++
	if m.Of != mqtt.OfNothing {
		h.ours++
	}
	if m.Of != mqtt.OfNothing && !m.Understood {
		h.garbled++
	}
	raw := strings.TrimSpace(m.Topic + "  " + asItIs(m.Payload))
	kept := ""
	if m.Kept {
		kept = ", kept from before"
	}
	for _, said := range m.Says {
		address, state := screen.Cut(screen.Clean(said.Address), 60), string(said.State)
		if h.site != nil && h.site.ZoneAt(said.Address) == nil {
			h.stranger(said.Address)
			address += " (no zone has it)"
		}
		if said.State == signal.NotUnderstood {
			state = "NOT UNDERSTOOD"
		}
		h.line(m.At, fmt.Sprintf("%s  %s%s  %s", screen.Pad(address, 10), state, kept, raw))
	}
	h.itself(m, kept, raw)
	switch {
	case len(m.Says) > 0, len(m.Itself) > 0:
	case m.Of == mqtt.OfNothing:
		h.line(m.At, "no rule is about it"+kept+"  "+raw)
	case !m.Understood:
		h.line(m.At, string(m.Of)+"  NOT UNDERSTOOD"+kept+"  "+raw)
	default:
		h.line(m.At, string(m.Of)+kept+"  "+raw)
	}
}

// mostStrangers bounds the addresses that are counted, and mostNamed those that are named.
const (
	mostStrangers = 2000
	mostNamed     = 40
)

// stranger counts a report of an address that no zone has. Needs the lock.
func (h *heardLive) stranger(address string) {
	if h.strangers[address] > 0 || len(h.strangers) < mostStrangers {
		h.strangers[address]++
	}
}

// asItIs is a payload without its quotes, where nothing in it needs them.
func asItIs(quoted string) string {
	bare, cut := strings.CutSuffix(quoted, "…")
	text, err := strconv.Unquote(bare)
	if err != nil || text == "" || !strconv.CanBackquote(text) || strings.TrimSpace(text) != text {
		return quoted
	}
	if cut {
		text += "…"
	}
	return text
}

// line prints one line, which is cut where the window ends. Needs the lock.
func (h *heardLive) line(at time.Time, text string) {
	text = at.Format("15:04:05.000") + "  " + strings.TrimRight(screen.Clean(text), " ")
	if columns := terminal.Columns(h.out); columns > 0 {
		text = screen.Cut(text, max(30, columns-1))
	}
	h.say("%s", text)
}

// count tells how much came. Needs the lock.
func (h *heardLive) count() {
	h.wrapped(fmt.Sprintf("%s in %s; %d on topics of controller.yaml, %d of these not understood.", messages(h.messages),
		h.listened(), h.ours, h.garbled))
	if len(h.strangers) == 0 {
		return
	}
	var parts []string
	for _, address := range slices.SortedFunc(maps.Keys(h.strangers), func(a, b string) int {
		return cmp.Or(cmp.Compare(h.strangers[b], h.strangers[a]), strings.Compare(a, b))
	}) {
		parts = append(parts, fmt.Sprintf("%s (%d)", screen.Cut(typedName(address), 60), h.strangers[address]))
	}
	if len(parts) > mostNamed {
		parts = append(parts[:mostNamed], "…")
	}
	what := "addresses"
	if len(h.strangers) == 1 {
		what = "address"
	}
	h.wrapped(fmt.Sprintf("%d %s that no zone of site.yaml has: %s", len(h.strangers), what, strings.Join(parts, ", ")))
}

// listened is for how long.
func (h *heardLive) listened() string {
	return english.Duration(max(time.Second, time.Since(h.begun).Round(time.Second)))
}

func messages(n int) string {
	if n == 1 {
		return "1 message"
	}
	return fmt.Sprintf("%d messages", n)
}

// nothingCame tells that no message came that a rule is about, and what to look at. Needs
// the lock.
func (h *heardLive) nothingCame(c mqtt.Config) {
	h.wrapped(fmt.Sprintf("In %s not one message came that controller.yaml has a rule for. Look at:", h.listened()))
	user := "none is given: does the broker show everything to anybody?"
	if c.User != "" {
		user = "the one in controller.yaml: does the broker let it read these topics?"
	}
	beside := "nothing came beside them either: is the controller connected to this broker, and was anything operated? " +
		"--all shows every topic."
	if h.messages > 0 {
		beside = fmt.Sprintf("%s came on other topics, shown above: is one of them the controller's?", messages(h.messages))
	}
	h.wrapped("  broker: " + c.Broker.Host + ": is it the one that the controller talks to?")
	h.wrapped("  user: " + user)
	h.wrapped("  topics: " + strings.Join(c.SignalTopics(), ", ") + ": does the controller write there, letter by letter?")
	h.wrapped("  beside: " + beside)
}
