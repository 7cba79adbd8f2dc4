package main

import (
	"context"
	"fmt"

	"loopwitness/checks"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/listen"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// showSafety tells of each output what becomes of it if this computer fails while it is on. Nobody switches a chime on:
// it follows its zones.
func (s streams) showSafety(st *site.Site, c listen.Config) error {
	rows := [][]string{{"Output", "Cut-off", "If this computer fails while it is on"}}
	for i := range st.Outputs {
		if o := &st.Outputs[i]; o.Kind != site.Chime {
			rows = append(rows, []string{screen.Clean(o.Name), cutOff(o), becomes(o, c)})
		}
	}
	if len(rows) == 1 || c.Way == "simulated" {
		return nil
	}
	s.say("")
	return s.wideTable(rows, 60)
}

// cutOff is after how long an output stops by itself, as declared.
func cutOff(o *site.Output) string {
	if o.CutOff.Text == "" {
		return "–"
	}
	return screen.Clean(o.CutOff.Text)
}

// becomes tells what becomes of an output.
func becomes(o *site.Output, c listen.Config) string {
	if c.By("mqtt") {
		switch rule := c.MQTT.Output(o); {
		case rule == nil:
		case rule.NoLastWill:
			return "IT STAYS ON: controller.yaml says last_will: false"
		default:
			return "the broker switches it off within " + checks.FormatDuration(signal.GuardedWithin)
		}
	}
	if c.HTTP != nil && c.HTTP.Output(o) != nil {
		return "IT STAYS ON: an HTTP request has no last will"
	}
	return "it stays on until you switch it off by hand"
}

// tryGuards tells whether the broker takes the further connection that switches an output
// off; nothing is energised, and nothing published.
func (s streams) tryGuards(ctx context.Context, st *site.Site, config mqtt.Config) {
	for i := range st.Outputs {
		o := &st.Outputs[i]
		if rule := config.Output(o); rule == nil || rule.NoLastWill {
			continue
		}
		if err := mqtt.TryGuard(ctx, config, clock.Real{}, o); err != nil {
			s.wrapped(fmt.Sprintf("%s: IT STAYS ON if this computer fails while it is on: %v. Ask who runs the broker to let "+
				"this user connect twice, and publish to the output's topic.", o.Name, err))
			continue
		}
		s.wrapped(o.Name + ": the broker takes the connection that switches it off if this computer fails.")
	}
}
