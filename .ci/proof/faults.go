package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/record"
)

// brokerFaults has the broker and the way to it fail in visits in real time. A trial that
// was disturbed may be void and is taken again; a detector that works has to be proved, and
// every visit has to end.
type brokerFaults struct{}

func (brokerFaults) name() string { return "broker" }

// fault is a way to fail. It disturbs until the context ends; instants are drawn.
type fault struct {
	name    string
	disturb func(ctx context.Context, d *disturbed) error
	alone   bool // it needs a core for itself
	long    bool // no part of a short proof
}

// disturbed is a visit of the kiosk at a broker of its own, behind a link.
type disturbed struct {
	*kiosk
	broker *broker
	link   *link
	rng    *rand.Rand
	took   time.Duration // of a visit without a fault
}

var faults = []fault{
	{name: "link held for up to 1 s", disturb: heldFor(time.Second)},
	{name: "link held for up to 8 s", disturb: heldFor(8 * time.Second), long: true},
	{name: "broker stopped for up to 8 s", disturb: frozen, long: true},
	{name: "broker restarted", disturb: restarted},
	{name: "half-open link", disturb: halfOpen, long: true},
	{name: "each report up to 4 times", disturb: repeated},
	{name: "retained reports of old states", disturb: retained},
	{name: "5,000 strangers a second", disturb: flood, alone: true},
}

func (brokerFaults) run(ctx context.Context, o options) (result, error) {
	b, err := o.startBroker(ctx)
	if err != nil {
		return result{}, err
	}
	if b == nil {
		return notTried(noBroker)
	}
	known, err := o.undisturbedKiosk(ctx, b)
	b.end()
	if err != nil {
		return result{}, err
	}
	t := newTally()
	each := o.of(10, 1)
	var tried []fault
	for _, alone := range []bool{false, true} {
		some := slices.DeleteFunc(slices.Clone(faults), func(f fault) bool { return f.alone != alone || f.long && o.short })
		tried = append(tried, some...)
		side := map[bool]int{false: kiosks, true: 1}[alone]
		err := eachOf(ctx, each*len(some), side, func(i int) error {
			f := some[i%len(some)]
			came, err := o.disturb(ctx, t, f, known, uint64(i))
			t.try(fmt.Sprintf("%s, visit %d of -seed %d", f.name, i, o.seed), came)
			return err
		})
		if err != nil {
			return result{}, err
		}
	}
	t.note("%d of each: %s", each, strings.Join(namesOf(tried), ", "))
	return t.result(), nil
}

func namesOf(faults []fault) (all []string) {
	for _, f := range faults {
		all = append(all, f.name)
	}
	return all
}

// disturb runs one visit with a fault. came says what was wrong with it.
func (o options) disturb(ctx context.Context, t *tally, f fault, known uninterrupted, n uint64) (came, err error) {
	b, err := o.startBroker(ctx)
	if err != nil {
		return nil, err
	}
	defer b.end()
	l, err := newLink(b.at)
	if err != nil {
		return nil, err
	}
	defer l.close()
	k, err := o.openKiosk(b.at, l.at(), "kiosk")
	if err != nil {
		return nil, err
	}
	defer k.close()
	d := &disturbed{kiosk: k, broker: b, link: l, rng: rand.New(rand.NewPCG(o.seed, n)), took: known.took}
	fails, stop := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- f.disturb(fails, d) }()
	came = d.attendAll(ctx, t, known)
	stop()
	if err := <-ended; err != nil && !errors.Is(err, context.Canceled) {
		return nil, err
	}
	if !k.silent(untilSilent) {
		came = errors.Join(came, errors.New("the sounder is on after the end of the visit"))
	}
	t.sounded(k.longestOn())
	return came, nil
}

// attendAll runs the visit, resuming it as often as it pauses, which it does where the broker
// is not there when it begins.
func (d *disturbed) attendAll(ctx context.Context, t *tally, known uninterrupted) error {
	const breath = 500 * time.Millisecond
	var got outcome
	var err error
	for began := time.Now(); time.Since(began) < longestRun; {
		if got, _, _, err = d.ends(ctx); err == nil || errors.Is(err, errHangs) || ctx.Err() != nil {
			break
		}
		t.count("pauses", 1)
		time.Sleep(breath)
	}
	if err != nil {
		return err
	}
	path, _ := journalIn(d.dir)
	text, err := disturbances(t, path)
	if err != nil {
		return err
	}
	var wrong []string
	for key, want := range known.outcome {
		class, _, _ := strings.Cut(key, " ")
		if (class == "verdict" || class == "output" || class == "step") && got[key] != want {
			wrong = append(wrong, fmt.Sprintf("%s: %s, without the fault %s", key, got[key], want))
		}
	}
	if len(wrong) > 0 {
		slices.Sort(wrong)
		return fmt.Errorf("%s (%s)", strings.Join(wrong, "; "), text)
	}
	return nil
}

// disturbances tells what the journal tells of them, and counts trials that were void.
func disturbances(t *tally, path string) (string, error) {
	contents, err := journal.ReadFile(path)
	if err != nil {
		return "", err
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return "", err
	}
	void := 0
	for _, s := range r.Outcomes() {
		void += s.BrokenOff()
	}
	t.count("void trials", void)
	t.count("outages told", len(r.Outages()))
	return fmt.Sprintf("the journal tells of %d outages, %d lost signals and %d void trials", len(r.Outages()), r.Lost(),
		void), nil
}

// pause waits for a drawn part of a time.
func (d *disturbed) pause(ctx context.Context, most time.Duration) error {
	select {
	case <-time.After(time.Duration(d.rng.Int64N(int64(most)))):
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// heldFor holds the link again and again.
func heldFor(most time.Duration) func(context.Context, *disturbed) error {
	return func(ctx context.Context, d *disturbed) error {
		for {
			if err := d.pause(ctx, d.took); err != nil {
				return err
			}
			d.link.hold(true)
			err := d.pause(ctx, most)
			d.link.hold(false)
			if err != nil {
				return err
			}
		}
	}
}

func frozen(ctx context.Context, d *disturbed) error {
	const most = 8 * time.Second
	for {
		if err := d.pause(ctx, d.took); err != nil {
			return err
		}
		err := d.broker.freeze(true)
		err = errors.Join(err, d.pause(ctx, most), d.broker.freeze(false))
		if err != nil {
			return err
		}
	}
}

func restarted(ctx context.Context, d *disturbed) error {
	const most = 2 * time.Second
	for {
		if err := d.pause(ctx, d.took); err != nil {
			return err
		}
		d.broker.end()
		paused := d.pause(ctx, most)
		if err := d.broker.start(context.WithoutCancel(ctx)); err != nil || paused != nil {
			return errors.Join(err, paused)
		}
	}
}

func halfOpen(ctx context.Context, d *disturbed) error {
	for {
		if err := d.pause(ctx, 2*d.took); err != nil {
			return err
		}
		d.link.kill()
	}
}

// repeated sends each report again, at once and a little later.
func repeated(ctx context.Context, d *disturbed) error {
	d.controller.alter(func(publish func(topic, payload string, retained bool), topic, payload string) {
		for range d.rng.IntN(4) {
			publish(topic, payload, false)
		}
	})
	<-ctx.Done()
	return nil
}

// retained leaves an old state at the broker for whoever connects, and sends reports so
// that they stay there, too.
func retained(ctx context.Context, d *disturbed) error {
	for zone := range zones {
		d.controller.publish(fmt.Sprintf("%s/zone/%d/state", d.place, zone+1), `{"state":"open"}`, true)
	}
	d.controller.alter(func(publish func(topic, payload string, retained bool), topic, payload string) {
		publish(topic, payload, true)
	})
	return restarted(ctx, d)
}

// flood sends what is of no interest, and much of it.
func flood(ctx context.Context, d *disturbed) error {
	const rate, tick = 5000, 2 * time.Millisecond
	ticks := time.NewTicker(tick)
	defer ticks.Stop()
	for n := 0; ; {
		select {
		case <-ctx.Done():
			return nil
		case <-ticks.C:
		}
		for range int(rate * tick / time.Second) {
			d.controller.client.Publish(fmt.Sprintf("%s/zone/%d/state", d.place, 100+n%50), 0, false, `{"state":"open"}`)
			n++
		}
	}
}
