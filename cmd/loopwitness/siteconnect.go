package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwitness/commission/job"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/listen"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/site"
)

// tryConnection listens to the controller for a while and tells what came.
func tryConnection(ctx context.Context, s streams, f job.Folder, st *site.Site, listen time.Duration) error {
	if listen <= 0 {
		return fmt.Errorf("--for %s is no time to listen; write for example --for 30s", listen)
	}
	config, err := f.Config(st)
	if err != nil {
		return err
	}
	var errs []error
	for _, way := range config.Each() {
		if len(config.Ways) > 0 {
			s.ofWay(config, way, st)
		}
		errs = append(errs, s.tryWay(ctx, config, way, st, listen))
	}
	if config.HTTP != nil {
		errs = append(errs, s.reachOutputs(ctx, *config.HTTP))
	}
	return errors.Join(errs...)
}

// reachOutputs tells whether the hosts that switch outputs can be connected to. No output works by it.
func (s streams) reachOutputs(ctx context.Context, c web.SwitchConfig) error {
	outputs, err := web.NewOutputs(c)
	if err != nil {
		return err
	}
	defer outputs.Close()
	var errs []error
	s.say("")
	for _, r := range outputs.Reach(ctx) {
		if host := screen.Clean(r.Host); r.Err != nil {
			errs = append(errs, fmt.Errorf("outputs at %s: %w\n    http.outputs of controller.yaml names where they are", host, r.Err))
		} else {
			s.say("Outputs: %s can be connected to; nothing was switched.", host)
		}
	}
	return errors.Join(errs...)
}

// ofWay tells which zones belong to one of several ways, which are listened to one after the other.
func (s streams) ofWay(c listen.Config, way string, st *site.Site) {
	var numbers []string
	for i := range st.Zones {
		if z := &st.Zones[i]; slices.Contains(c.WaysOf(z.Address), way) {
			numbers = append(numbers, strconv.Itoa(z.Number))
		}
	}
	s.say("")
	s.zoneList("The zones that belong to "+way+": ", numbers)
}

// tryWay listens in one way for a while and tells what came.
func (s streams) tryWay(ctx context.Context, config listen.Config, way string, st *site.Site,
	listen time.Duration,
) error {
	switch way {
	case "webhook":
		return s.tryHook(ctx, config.Hook, st, listen)
	case "poll":
		return s.tryPoll(ctx, config.Poll, st, listen)
	case "mqtt":
	default:
		s.say("\nNothing to connect to: controller.yaml listens by %s.", way)
		return nil
	}
	s.say("\nListening to %s for %s; operate a detector of each zone. Ctrl-C ends it early.",
		screen.Clean(config.MQTT.Broker.Host), listen)
	tried, err := mqtt.Try(ctx, config.MQTT, clock.Real{}, listen)
	if err != nil {
		return connectFailed(config.MQTT, err)
	}
	s.say("Connected; the broker lets the topics be read.")
	s.tryGuards(ctx, st, config.MQTT)
	s.say("")
	return s.tried(tried, st)
}

// connectFailed is why nothing could be listened to, and what to do.
func connectFailed(c mqtt.Config, err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return errors.New("ended before anything was listened to")
	}
	return fmt.Errorf("%w\n    %s", err, c.Advice(err))
}

// blind tells that only what the map names is seen.
const blind = "The broker lets nobody look beside these topics: a wrong topic would not be seen."

// tried tells what came of a map; of zones nothing without a site.
func (s streams) tried(t mqtt.Tried, st *site.Site) error {
	rows := [][]string{{"Topic", "What came"}}
	silent := 0
	for _, rule := range t.Rules {
		rows = append(rows, []string{screen.Clean(rule.Topic), whatCame(rule.Heard)})
		if len(rule.Heard) == 0 {
			silent++
		}
	}
	if err := s.wideTable(rows, 60); err != nil {
		return err
	}
	s.say("")
	s.zonesHeard(t, st)
	s.aspectsHeard(t)
	s.others(t, silent)
	if t.Lost != nil {
		s.wrapped("The connection was lost meanwhile: " + t.Lost.Error())
	}
	return nil
}

func whatCame(heard []mqtt.Heard) string {
	live := 0
	for _, h := range heard {
		if h.Live {
			live++
		}
	}
	switch {
	case len(heard) == 0:
		return "nothing ever came"
	case live == 0:
		return fmt.Sprintf("%s, kept by the broker only", topics(len(heard)))
	case live == len(heard):
		return topics(live) + ", live"
	}
	return fmt.Sprintf("%s, %d of them live", topics(len(heard)), live)
}

func topics(n int) string {
	if n == 1 {
		return "1 topic"
	}
	return fmt.Sprintf("%d topics", n)
}

// zonesHeard tells from which zones something came, and what came that means nothing.
func (s streams) zonesHeard(t mqtt.Tried, st *site.Site) {
	came := map[string]bool{}
	if st == nil {
		st = &site.Site{}
	}
	for _, rule := range t.Rules {
		for _, h := range rule.Heard {
			for _, address := range h.Addresses {
				if !came[address] && len(st.Zones) > 0 && st.ZoneAt(address) == nil {
					s.wrapped(fmt.Sprintf("%s reports the address %q, which no zone has", h.Topic, address))
				}
				came[address] = true
			}
			if h.NotUnderstood != "" {
				s.wrapped(fmt.Sprintf("%s said %s, which controller.yaml does not know", h.Topic, h.NotUnderstood))
			}
		}
	}
	s.zonesCame(st, func(address string) bool { return came[address] })
}

// zonesCame tells from which zones something came.
func (s streams) zonesCame(st *site.Site, came func(address string) bool) {
	var heard, silent []string
	for i := range st.Zones {
		if z := &st.Zones[i]; came(z.Address) {
			heard = append(heard, strconv.Itoa(z.Number))
		} else {
			silent = append(silent, strconv.Itoa(z.Number))
		}
	}
	if len(st.Zones) == 0 {
		return
	}
	s.zoneList("Zones from which something came: ", heard)
	s.zoneList("Zones from which nothing came:   ", silent)
}

func (s streams) zoneList(what string, numbers []string) {
	if len(numbers) == 0 {
		numbers = []string{"none"}
	}
	s.wrapped(what + strings.Join(numbers, ", "))
}

// others tells what came beside the map.
func (s streams) others(t mqtt.Tried, silent int) {
	if t.Blind {
		s.wrapped(blind)
	}
	if len(t.Others) == 0 {
		return
	}
	ask := ""
	if silent > 0 {
		ask = "; is one of them meant where nothing came?"
	}
	s.say("\nTopics near these that no rule of controller.yaml is about%s", ask)
	live := slices.Clone(t.Others)
	slices.SortStableFunc(live, func(a, b mqtt.Heard) int { return strings.Compare(lively(a), lively(b)) })
	for _, h := range live {
		s.wrapped(fmt.Sprintf("  %s  %s %s", h.Topic, lively(h), h.Payload))
	}
	if t.More {
		s.say("  and more")
	}
}

// lively says how something came; the live ones sort last and so stay in sight.
func lively(h mqtt.Heard) string {
	if h.Live {
		return "live"
	}
	return "kept"
}
