package bench

import (
	"context"
	"time"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/simulated"
)

// Scenario is what the building is like, and what happens in it by itself.
type Scenario struct {
	Building simulated.Options
	// Fresh says that the broker is not to keep what is reported over MQTT.
	Fresh bool
	Steps []Step
}

// Step is something that is done a while after the step before was begun.
type Step struct {
	After time.Duration
	Command
}

// The bounds of scenarios.
const (
	MostSteps = 10000
	MostAfter = 24 * time.Hour
)

// play does what a scenario says until it ends, or the context does.
func (b *Bench) play(ctx context.Context) {
	for _, step := range b.scenario.Steps {
		if !pause(ctx, b.clock, step.After) {
			return
		}
		b.Do(step.Command)
	}
	if len(b.scenario.Steps) > 0 {
		b.tell(Event{What: Played})
	}
}

// pause waits; false means that the context ended first.
func pause(ctx context.Context, by clock.Clock, d time.Duration) bool {
	over := make(chan struct{})
	defer by.AfterFunc(max(0, d), func() { close(over) })()
	select {
	case <-over:
		return true
	case <-ctx.Done():
		return false
	}
}
