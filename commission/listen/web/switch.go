package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptrace"
	"strings"
	"sync/atomic"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Outputs switches outputs by HTTP requests. It implements signal.Switch, and no signal.Guarded: if
// this program is gone, nobody switches them off.
type Outputs struct {
	config SwitchConfig
	client *http.Client
}

// NewOutputs makes them; nothing is connected before an output is switched.
func NewOutputs(c SwitchConfig) (*Outputs, error) {
	over, err := client(c.CAFile)
	if err != nil {
		return nil, err
	}
	return &Outputs{c, over}, nil
}

// Output is how an output is switched, nil where controller.yaml does not say it.
func (c *SwitchConfig) Output(o *site.Output) *OutputRule {
	for i := range c.Outputs {
		if c.Outputs[i].Address == o.Address && o.Address != "" {
			return &c.Outputs[i]
		}
	}
	return nil
}

// CanEnergise tells whether controller.yaml says how to switch the output.
func (s *Outputs) CanEnergise(o *site.Output) bool { return s.config.Output(o) != nil }

// Energise makes the request and returns when it was answered: 2xx means that it was done, anything
// else is an error with the status.
func (s *Outputs) Energise(ctx context.Context, o *site.Output, on bool) error {
	rule := s.config.Output(o)
	if rule == nil {
		return fmt.Errorf("controller.yaml does not say how to switch %q", o.Name)
	}
	to, body := rule.OffURL, rule.Off
	if on {
		to, body = rule.OnURL, rule.On
	}
	r, err := request(ctx, rule.Method, to)
	if err != nil {
		return err
	}
	if body != "" {
		r.Body, r.ContentLength = io.NopCloser(strings.NewReader(body)), int64(len(body))
		r.GetBody = func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(body)), nil }
		r.Header.Set("Content-Type", rule.ContentType)
	}
	s.config.on(r)
	var sent atomic.Bool
	answer, err := s.client.Do(r.WithContext(httptrace.WithClientTrace(ctx, &httptrace.ClientTrace{
		GotConn: func(httptrace.GotConnInfo) { sent.Store(true) }})))
	switch {
	case err != nil && !sent.Load(): // there never was a connection
		return signal.NotCarriedOutError{Why: bare(err)}
	case err != nil:
		return bare(err)
	}
	_, _ = io.Copy(io.Discard, io.LimitReader(answer.Body, mostBytes))
	_ = answer.Body.Close()
	if answer.Header.Get(PracticeHeader) != "" && !s.config.Practice {
		return ErrPractice
	}
	if answer.StatusCode < 200 || answer.StatusCode > 299 {
		return unlessDone(answer.StatusCode)
	}
	return nil
}

// unlessDone is an answer that is no success: what a controller refuses (4xx), or never can (501), it has not done;
// nor has one that only names another address, to which nobody goes.
func unlessDone(status int) error {
	switch {
	case status >= 300 && status < 400:
		return signal.NotCarriedOutError{
			Why: fmt.Errorf("%w: write the address to which it redirects", statusError(status))}
	case status >= 400 && status < 500 && status != http.StatusRequestTimeout, status == http.StatusNotImplemented:
		return signal.NotCarriedOutError{Why: statusError(status)}
	}
	return statusError(status)
}

// Close ends connections that are kept.
func (s *Outputs) Close() { s.client.CloseIdleConnections() }
