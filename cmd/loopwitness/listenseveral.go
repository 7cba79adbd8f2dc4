package main

import (
	"context"
	"errors"

	"loopwitness/commission/listen"
	"loopwitness/commission/listen/ears"
)

// overWay shows what comes in one way.
func (h *heardLive) overWay(ctx context.Context, c listen.Config, way string, all bool) error {
	switch way {
	case "webhook":
		return h.overHook(ctx, c.Hook)
	case "poll":
		if len(c.Ways) == 0 {
			h.connected = "connected; the controller answers"
		}
		return h.byPolling(ctx, c.Poll)
	}
	return h.overMQTT(ctx, c.MQTT, all)
}

// several shows what comes in several ways at once, until the context ends or one of them fails. That
// nothing came is an error where it is so of all.
func (h *heardLive) several(ctx context.Context, c listen.Config, all bool) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	h.connected = "connected"
	results := make(chan error, len(c.Ways))
	for _, way := range c.Ways {
		go func() { results <- h.overWay(ctx, c, way, all) }()
	}
	var failed error
	silent := 0
	for range c.Ways {
		err := <-results
		switch {
		case errors.Is(err, errUnsatisfactory):
			silent++
		case err != nil && failed == nil:
			failed = err
			cancel()
		}
	}
	if failed == nil && silent == len(c.Ways) {
		return told{errUnsatisfactory}
	}
	return failed
}

// notStarted is which way could not be listened to.
func notStarted(way string, err error) string {
	var one *ears.NotStarted
	if errors.As(err, &one) {
		return string(one.Way)
	}
	return way
}
