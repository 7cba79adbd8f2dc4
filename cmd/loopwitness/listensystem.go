package main

import (
	"fmt"
	"slices"
	"strings"

	"loopwitness/commission/kit/screen"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/signal"
)

// itself shows what a message says of the controller itself, a line for each thing. Needs
// the lock.
func (h *heardLive) itself(m mqtt.Message, kept, raw string) {
	for _, said := range m.Itself {
		state := "absent"
		if said.Present {
			state = "present"
		}
		h.line(m.At, fmt.Sprintf("%s  %s%s  %s", screen.Pad(english.Say(said.Aspect), 10), state, kept, raw))
	}
}

// System shows what a source says of itself that has no topics.
func (h *heardLive) System(s signal.System) {
	h.Message(mqtt.Message{At: s.At, Payload: s.Raw, Kept: s.Kept != "", Of: mqtt.OfSystem, Itself: []signal.System{s},
		Understood: true})
}

// aspectsHeard tells what the controller told of itself, and what it never did.
func (s streams) aspectsHeard(t mqtt.Tried) {
	if len(t.Tells) == 0 {
		return
	}
	s.aspectsTold(t.Tells, func(aspect signal.Aspect) bool {
		return slices.ContainsFunc(t.Rules, func(r mqtt.RuleTried) bool {
			return slices.ContainsFunc(r.Heard, func(h mqtt.Heard) bool { return slices.Contains(h.Aspects, aspect) })
		})
	})
}

// aspectsTold tells which of some aspects came, and which never did.
func (s streams) aspectsTold(tells []signal.Aspect, came func(signal.Aspect) bool) {
	var told, never []string
	for _, aspect := range tells {
		if name := english.Say(aspect); came(aspect) {
			told = append(told, name)
		} else {
			never = append(never, name)
		}
	}
	for _, row := range []struct {
		what  string
		names []string
	}{{"The controller told of itself: ", told}, {"Of itself it told nothing of:   ", never}} {
		if len(row.names) == 0 {
			row.names = []string{"none"}
		}
		s.wrapped(row.what + strings.Join(row.names, ", "))
	}
}
