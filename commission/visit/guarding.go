package visit

import (
	"context"
	"errors"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// guards are what would switch outputs off if this program could not.
type guards struct {
	mu      sync.Mutex
	release map[string]func() // by output; those that stand
	turns   map[string]lock   // held by who switches an output
	begun   map[string]bool   // energised in this run
	lost    map[string]error  // why those are gone that stood since it was last asked for them
	refused map[string]int    // how often in a row the controller has refused to switch one on
	doubt   map[string]bool   // outputs whose command on was not answered: it may be carried out still
}

func newGuards() *guards {
	return &guards{release: map[string]func(){}, turns: map[string]lock{}, begun: map[string]bool{},
		lost: map[string]error{}, doubt: map[string]bool{}, refused: map[string]int{}}
}

// begin notes that an output is energised in this run.
func (g *guards) begin(output string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.begun[output] = true
}

func (g *guards) ofThisRun(output string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.begun[output]
}

// unanswered notes that the command to switch an output on may be carried out still.
func (g *guards) unanswered(output string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.doubt[output] = true
}

func (g *guards) inDoubt(output string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.doubt[output]
}

// refuses counts that the controller has refused to switch an output on, and takes that it has not.
func (g *guards) refuses(output string) int {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.refused[output]++
	return g.refused[output]
}

func (g *guards) takes(output string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.refused, output)
}

// turn is held by who switches an output.
func (g *guards) turn(output string) lock {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.turns[output] == nil {
		g.turns[output] = make(lock, 1)
	}
	return g.turns[output]
}

// set lets a guard count, unless it is lost already.
func (g *guards) set(output string, release func()) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.lost[output] == nil {
		g.release[output] = release
	}
}

// lose lets the guard of an output count no more: it is gone.
func (g *guards) lose(output string, why error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.release, output)
	g.lost[output] = why
}

// forget forgets why the guard of an output is gone: there is to be another.
func (g *guards) forget(output string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.lost, output)
}

// gone is why the guard of an output is gone, nil where it stands or there was none.
func (g *guards) gone(output string) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.lost[output]
}

// stand tells whether an output is guarded.
func (g *guards) stand(output string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.release[output] != nil
}

// take is how the guard of an output is released; it counts no more.
func (g *guards) take(output string) (release func()) {
	g.mu.Lock()
	defer g.mu.Unlock()
	release = g.release[output]
	delete(g.release, output)
	if release == nil {
		return func() {}
	}
	return release
}

// guardAll lets somebody else switch outputs off in case that this program cannot, before
// they are energised. Where nobody would, it asks; errBack says not to.
func (v *Visit) guardAll(ctx context.Context, outputs []*site.Output) error {
	var unguarded []string
	for _, o := range outputs {
		s, can := v.byController(o)
		if !can {
			continue
		}
		if why := v.guard(ctx, s, o); why != nil {
			if errors.Is(why, signal.ErrNoGuard) {
				why = nil // the sentence says as much
			}
			v.operator.Tell(ask.NobodyGuards{Output: o.Name, Why: why})
			unguarded = append(unguarded, o.Name)
		}
	}
	err := ctx.Err()
	if err == nil && len(unguarded) > 0 {
		err = v.mayStayOn(ctx, unguarded)
	}
	if err != nil {
		for _, o := range outputs {
			v.guards.take(o.Name)()
		}
	}
	return err
}

func (v *Visit) mayStayOn(ctx context.Context, outputs []string) error {
	yes, err := v.yes(ctx, ask.Question{ID: "energise/unguarded", What: ask.EnergiseUnguarded{Outputs: outputs},
		Takes: ask.YesNo{Danger: true}, Back: true})
	if err == nil && !yes {
		err = errBack
	}
	return err
}

// guard has one output guarded; the error says why nobody does.
func (v *Visit) guard(ctx context.Context, s signal.Switch, o *site.Output) error {
	g, can := s.(signal.Guarded)
	if !can {
		return signal.ErrNoGuard
	}
	v.guards.forget(o.Name)
	release, err := g.GuardOff(ctx, o, func(why error) { v.guardLost(ctx, o, why) })
	if err == nil {
		v.guards.set(o.Name, release)
	}
	return err
}

// guardLost switches an output off whose guard is gone: perhaps it is off already. One that
// is not energised yet is not energised any more (switchOne).
func (v *Visit) guardLost(ctx context.Context, o *site.Output, why error) {
	defer v.recovered("switching off")
	v.guards.lose(o.Name, why)
	turn := v.guards.turn(o.Name)
	turn.Lock() // who is about to energise it has done so, or has not
	on := v.isOn(o.Name)
	turn.Unlock()
	if ctx.Err() != nil || !on {
		return // who leaves switches off
	}
	v.operator.Tell(ask.GuardLost{Output: o.Name, Why: why})
	if err := v.switchOff(ctx, o, patience, record.OffGuardLost); err != nil {
		v.end(err)
		return
	}
	v.offAgain(ctx, o)
}

const (
	// timesAgain and pauseAgain are how often the command off is repeated after a guard was
	// lost: a broker that was away takes it before the controller is back to hear it.
	timesAgain = 5
	pauseAgain = 3 * time.Second
)

// offAgain repeats the command off, until the output is energised again.
func (v *Visit) offAgain(ctx context.Context, o *site.Output) {
	s, can := v.byController(o)
	for range timesAgain {
		if !can || !v.pause(ctx, pauseAgain) || !v.repeatOff(ctx, s, o) {
			return
		}
	}
}

// repeatOff tells whether the output is to be off still.
func (v *Visit) repeatOff(ctx context.Context, s signal.Switch, o *site.Output) bool {
	turn := v.guards.turn(o.Name)
	turn.Lock()
	defer turn.Unlock()
	if v.isOn(o.Name) {
		return false
	}
	limited, cancel := context.WithTimeout(ctx, switchLimit)
	defer cancel()
	_ = s.Energise(limited, o, false) // it was taken before
	return true
}
