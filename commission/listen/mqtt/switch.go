package mqtt

import (
	"context"
	"errors"
	"fmt"
	"time"

	"loopwitness/commission/site"
)

// Output is how an output is switched, nil where controller.yaml does not say it.
func (c *Config) Output(o *site.Output) *OutputRule {
	for i := range c.Outputs {
		if c.Outputs[i].Address == o.Address && o.Address != "" {
			return &c.Outputs[i]
		}
	}
	return nil
}

// CanEnergise tells whether controller.yaml says how to switch the output.
func (c *Controller) CanEnergise(o *site.Output) bool { return c.config.Output(o) != nil }

// Energise publishes the output's command at quality 1, never retained, and waits for the
// broker to take it. What is guarded is switched over its guard's connection; off also
// over the main one, where the guard does not get through.
func (c *Controller) Energise(ctx context.Context, o *site.Output, on bool) error {
	rule := c.config.Output(o)
	if rule == nil {
		return fmt.Errorf("controller.yaml does not say how to switch %q", o.Name)
	}
	payload := rule.Off
	if on {
		payload = rule.On
	}
	main := func() error { return c.publish(ctx, rule.Topic, payload) }
	g := c.guardOf(rule)
	if g == nil {
		return main()
	}
	guarded := func() error { return g.publish(ctx, payload) }
	if on {
		return guarded()
	}
	return either(guarded, main)
}

// either tries a second way where the first fails or takes long, and succeeds with one
// of them.
func either(first, second func() error) error {
	results := make(chan error, 2)
	go func() { results <- first() }()
	late := time.NewTimer(secondWay)
	defer late.Stop()
	select {
	case err := <-results:
		if err == nil {
			return nil
		}
		results <- err
	case <-late.C:
	}
	go func() { results <- second() }()
	var failed error
	for range 2 {
		err := <-results
		if err == nil {
			return nil
		}
		failed = errors.Join(failed, err)
	}
	return failed
}

// publish goes over the main connection.
func (c *Controller) publish(ctx context.Context, topic, payload string) error {
	if c.client == nil || !c.client.IsConnectionOpen() {
		return errors.New("not connected to the broker")
	}
	published := make(chan error, 1)
	go func() {
		token := c.client.Publish(topic, 1, false, payload) // waits where the link is stuck
		select {
		case <-token.Done():
			published <- token.Error()
		case <-ctx.Done():
		}
	}()
	select {
	case err := <-published:
		return err
	case <-ctx.Done():
		return unconfirmed(ctx)
	}
}

func unconfirmed(ctx context.Context) error {
	return fmt.Errorf("the broker does not confirm the command: %w", ctx.Err())
}
