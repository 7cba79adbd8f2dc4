package main

import (
	"context"
	"fmt"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
)

// overHook shows what the controller calls.
func (h *heardLive) overHook(ctx context.Context, c web.HookConfig) error {
	hook, heard := web.NewHook(c, clock.Real{}), newCalls()
	hook.Watch(func(one web.Came) {
		heard.take(one)
		h.called(one, heard)
	})
	if err := hook.Start(ctx, nobody{}); err != nil {
		return webFailed(err)
	}
	h.say("Listening for web hooks at %s. Ctrl-C ends it.", screen.Clean(c.At))
	h.tryLine(c, h.site)
	<-ctx.Done()
	_ = hook.Close()
	h.mu.Lock()
	defer h.mu.Unlock()
	h.say("")
	heard.tell(h.streams, h.site, hook.About().Tells)
	if heard.kept == 0 {
		h.wrapped(fmt.Sprintf("In %s nothing came that controller.yaml has a rule for. Look at: whether the controller "+
			"calls %s, its secret or token, and whether a firewall lies between.", h.listened(), c.At))
		return told{errUnsatisfactory}
	}
	return nil
}

// called shows a call. Those that know no secret are counted, and the first is told.
func (h *heardLive) called(one web.Came, heard *calls) {
	switch {
	case one.Status < 300:
		m := mqtt.Message{At: one.At, Topic: one.Path, Payload: one.Body, Kept: one.Repeated, Of: mqtt.OfSignals,
			Says: one.Says, Itself: one.Itself, Understood: one.Understood}
		if len(one.Says) == 0 && one.Presence {
			m.Of = mqtt.OfPresence
		} else if len(one.Says) == 0 {
			m.Of = mqtt.OfSystem
		}
		h.Message(m)
		return
	case one.Path == "":
		heard.mu.Lock()
		first := heard.wrong == 1
		heard.mu.Unlock()
		if !first {
			return
		}
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.line(one.At, fmt.Sprintf("REFUSED  %d %s  %s  %s", one.Status, one.Why, one.Path, one.Body))
}

// byPolling shows what the controller answers, where it changes.
func (h *heardLive) byPolling(ctx context.Context, c web.PollConfig) error {
	poll, err := web.NewPoll(c, clock.Real{})
	if err != nil {
		return webFailed(err)
	}
	heard := &answers{}
	poll.Watch(func(one web.Answer) {
		heard.take(one)
		if one.Failed != nil {
			h.mu.Lock()
			defer h.mu.Unlock()
			h.line(time.Now(), "no answer: "+one.Failed.Error())
		}
	})
	h.say("Asking %s every %s. Ctrl-C ends it.", screen.Clean(c.Host()), c.Every)
	if err := poll.Start(ctx, h); err != nil {
		return webFailed(err)
	}
	<-ctx.Done()
	_ = poll.Close()
	h.mu.Lock()
	defer h.mu.Unlock()
	h.say("")
	if err := heard.tell(h.streams, c, h.site); err != nil {
		return err
	}
	for _, said := range heard.last.Says {
		if said.State != signal.NotUnderstood {
			return nil
		}
	}
	return told{errUnsatisfactory}
}
