// Package ears joins sources of signals into one that listens with all of them at once. What is heard is
// marked with the way by which it came; whose an address is, the record decides (see record/ears.go).
package ears

import (
	"context"
	"errors"
	"fmt"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Ear is one of the sources, each of another way, and the addresses of the site that it can report.
type Ear struct {
	signal.Source
	Addresses []string
}

// Join makes one source of several. It switches outputs, and guards them, with those of the sources that
// can.
func Join(all []Ear) *Ears { return &Ears{all} }

// Ears is the joined source. It implements signal.Source, signal.Switch and signal.Guarded.
type Ears struct{ all []Ear }

// About describes all of them.
func (e *Ears) About() signal.Listening {
	var each []signal.Listening
	for _, ear := range e.all {
		about := ear.About()
		about.Addresses = ear.Addresses
		each = append(each, about)
	}
	return signal.Together(each)
}

// Start starts all, one after the other, or none: where one cannot be, those before it are closed, and the
// error names it.
func (e *Ears) Start(ctx context.Context, to signal.Receiver) error {
	for i, ear := range e.all {
		way := ear.About().Way
		if err := ear.Source.Start(ctx, marked(to, way)); err != nil {
			err = fmt.Errorf("%s: %w", way, err)
			for _, started := range e.all[:i] {
				err = errors.Join(err, started.Close())
			}
			return &NotStarted{Way: way, err: err}
		}
	}
	return nil
}

// NotStarted tells which of several sources could not be started.
type NotStarted struct {
	Way signal.Way
	err error
}

func (n *NotStarted) Error() string { return n.err.Error() }

// Unwrap is why.
func (n *NotStarted) Unwrap() error { return n.err }

// Close closes all.
func (e *Ears) Close() error {
	var errs []error
	for _, ear := range e.all {
		errs = append(errs, ear.Source.Close())
	}
	return errors.Join(errs...)
}

// Refused are the calls that any of them turned away.
func (e *Ears) Refused() (all signal.Refused) {
	for _, ear := range e.all {
		if r, is := ear.Source.(signal.Refusing); is {
			all = all.Plus(r.Refused())
		}
	}
	return all
}

// of is the first source that switches an output, nil for none.
func (e *Ears) of(o *site.Output) signal.Switch {
	for _, ear := range e.all {
		if s, can := ear.Source.(signal.Switch); can && s.CanEnergise(o) {
			return s
		}
	}
	return nil
}

// CanEnergise tells whether one of them switches an output.
func (e *Ears) CanEnergise(o *site.Output) bool { return e.of(o) != nil }

// Energise switches an output with the one that can.
func (e *Ears) Energise(ctx context.Context, o *site.Output, on bool) error {
	s := e.of(o)
	if s == nil {
		return fmt.Errorf("controller.yaml does not say how to switch %q", o.Name)
	}
	return s.Energise(ctx, o, on)
}

// GuardOff guards an output with the one that switches it.
func (e *Ears) GuardOff(ctx context.Context, o *site.Output, lost func(error)) (release func(), err error) {
	g, can := e.of(o).(signal.Guarded)
	if !can {
		return nil, signal.ErrNoGuard
	}
	return g.GuardOff(ctx, o, lost)
}
