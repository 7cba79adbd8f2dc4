package web

import (
	"context"
	"crypto/sha256"
	"fmt"
	"net/http"
	"time"

	"loopwitness/commission/signal"
)

// call is what one call says: its id, "" for none, the digest of what was sent under it, and its items.
type call struct {
	id, path string
	of       digest
	says     []told
}

// means names a call by all but what its sender may write anew into each try: a time, or which try it is.
func (c *call) means() digest {
	text := c.id + "\x00" + c.path
	for _, t := range c.says {
		for _, s := range t.signals {
			text += "\x00" + s.Address + "\x00" + string(s.State)
		}
		for _, s := range t.system {
			text += fmt.Sprint("\x00", s.Aspect, s.Present)
		}
		if t.here != nil {
			text += fmt.Sprint("\x00", *t.here)
		}
	}
	return sha256.Sum256([]byte(text))
}

// changes tells whether a call says of a thing that it was in more than one state. A list of how all things are does not:
// it comes again whenever all is as it was.
func (c *call) changes() bool {
	of := map[string]signal.State{}
	for _, t := range c.says {
		for _, s := range t.signals {
			if was, twice := of[s.Address]; twice && was != s.State {
				return true
			}
			of[s.Address] = s.State
		}
	}
	return false
}

// deliver hands on what a call says, and waits until it is durable.
func (h *Hook) deliver(c call, came *Came) *refusal {
	wait, news, err := h.hand(c, came)
	if err == nil && wait != nil {
		ctx, cancel := context.WithTimeout(h.ctx, keptWithin)
		defer cancel()
		err = wait(ctx)
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	r, now := h.repeats, h.clock.Now()
	if err != nil {
		r.unanswered(news, came.At)
		until(r.missed, c.means(), came.At.Add(unsure))
		return &refusal{http.StatusServiceUnavailable, "it could not be kept", retryAfter}
	}
	r.answered(news, now)
	switch {
	case c.id != "":
		r.kept(c.of)
		until(r.taken, c.means(), now.Add(unsure))
	case c.changes(): // so that the last of each thing alone tells too little
		until(r.taken, c.means(), now.Add(r.within))
	}
	return nil
}

// hand hands on what a call says, all of it in a row, and returns what of it may be news.
func (h *Hook) hand(c call, came *Came) (wait func(context.Context) error, news []said, err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	d := delivering{hook: h, came: came, id: c.id != ""}
	d.again, d.kept = h.here(c, came.At)
	for _, t := range c.says {
		d.hand(t)
	}
	keeper, is := h.to.(signal.Keeper)
	if !is {
		return nil, d.news, nil
	}
	wait, err = keeper.Kept()
	return wait, d.news, err
}

// here tells whether a call was here before, and whether it surely was answered with success then.
func (h *Hook) here(c call, at time.Time) (again, kept bool) {
	r, means := h.repeats, c.means()
	if c.id != "" {
		again, kept = r.here(c.of, at)
	}
	if !again && stands(r.taken, means, at) {
		again, kept = true, c.id != ""
	}
	if stands(r.missed, means, at) {
		again = true
		delete(r.missed, means) // it was expected once
	}
	return again, kept
}

// delivering is a call that is handed on. One that was here before is no response: what was answered with success
// is not even a state any more, since it may be late; what was not was perhaps lost.
type delivering struct {
	hook        *Hook
	came        *Came
	id          bool
	again, kept bool // it was here before; it was answered with success then
	news        []said
}

// hand hands on an item.
func (d *delivering) hand(t told) {
	for _, s := range t.signals {
		s.TookNS = d.came.Took.Nanoseconds()
		s.At, s.Kept = d.came.At, d.counts("/"+s.Address, string(s.State), t.whole)
		d.came.Says = append(d.came.Says, s)
		d.hook.to.Signal(s)
	}
	system, takes := d.hook.to.(signal.SystemReceiver)
	for _, s := range t.system {
		s.At, s.Kept = d.came.At, d.counts(string(s.Aspect), fmt.Sprint(s.Present), t.whole)
		d.came.Itself = append(d.came.Itself, s)
		if takes {
			system.System(s)
		}
	}
	if t.here == nil {
		return
	}
	d.came.Presence = true
	d.came.Repeated = d.came.Repeated || d.again
	if !d.again { // else it was told when it was here first, and something else may have been since
		d.hook.present(*t.here)
	}
}

// counts is how it counts that a thing is in a state, in the words of an item: "" for news.
func (d *delivering) counts(of, state, whole string) string {
	if d.kept {
		d.came.Repeated = true
		return signal.Again
	}
	s := said{sha256.Sum256([]byte(of)), sha256.Sum256([]byte(state + whole)), state}
	if d.again && d.hook.repeats.overtaken(s) { // it is late: something else was said since
		d.came.Repeated = true
		return signal.Again
	}
	alike := d.hook.repeats.alike(s, d.came.At)
	d.news = append(d.news, s)
	if d.again || alike && !d.id {
		d.came.Repeated = true
		return signal.Repeated
	}
	return ""
}

func (h *Hook) present(here bool) {
	if here {
		h.to.Connection(signal.Connection{Up: true, Why: signal.ControllerUp})
		return
	}
	h.to.Connection(signal.Connection{Up: false, Why: signal.ControllerGone})
}

// unread tells, now and then, that calls came which nobody read: whatever is listened for meanwhile was perhaps in one
// of them.
func (h *Hook) unread(at time.Time) {
	const oftenest = time.Second
	h.mu.Lock()
	defer h.mu.Unlock()
	if !h.missed.IsZero() && at.Sub(h.missed) < oftenest {
		return
	}
	h.missed = at
	h.to.Connection(signal.Connection{Why: signal.Stalled, Detail: "too many calls at a time"})
	h.to.Connection(signal.Connection{Up: true, Why: signal.BackAgain})
}
