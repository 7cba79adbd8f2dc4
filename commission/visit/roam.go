package visit

import (
	"context"
	"errors"
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// roaming is a walk in the technician's own order: whatever is heard ticks off its detector.
// What is proved is in the journal; the rest is of no use after a break, in which nobody
// listened.
type roaming struct {
	v       *Visit
	from    *record.Outcome // the step that it was begun at
	since   time.Duration   // when it began, on the clock of the run
	handled map[operated]bool
	claimed map[operated]*record.Outcome // which one of a bank it was
	told    map[operated]bool            // that it reports active
	touches []*touched
	inRoom  []*record.Outcome // that were operated in it, in their order
	again   map[int]bool      // zones that were told to be operated again
	last    *lastHeard
	back    time.Time // until when a phone that was out of reach may still deliver touches
	hailed  time.Time
	hails   map[operated]bool // at which the phone was hailed: when it began, and at rest
}

// operated names an operation.
type operated struct {
	zone int
	at   time.Duration
}

// lastHeard is the operation that NotThat puts right: of a detector, and the number of the
// attempt that was written of it, 0 while there is none.
type lastHeard struct {
	op      record.Operation
	step    *record.Outcome
	attempt int
}

const (
	// answersWithin is how soon a phone in reach answers a hail. One that does not may have
	// touches that time what was heard: until they have come nothing is written of it.
	answersWithin = time.Second
	// deliversFor is how long it may take to deliver them once it is back.
	deliversFor = 3 * time.Second
	// mostNear is how many detectors are offered by name.
	mostNear = 8
)

// roam lets the technician operate in their own order, until they want the program's again or
// no detector is open.
func (v *Visit) roam(ctx context.Context, s *record.Outcome) error {
	now := v.journal.Elapsed(v.clock.Now())
	r := &roaming{v: v, from: s, since: now, handled: map[operated]bool{},
		claimed: map[operated]*record.Outcome{}, told: map[operated]bool{}, again: map[int]bool{}, hails: map[operated]bool{}}
	v.at = "" // whatever is asked belongs to another step, or to none
	defer func() { v.at = s.Step().ID }()
	for {
		if r.open() == 0 {
			v.operator.Tell(ask.AllOperated{})
			return nil
		}
		pressed, asks, err := r.watch(ctx)
		switch {
		case err != nil:
		case asks != nil:
			err = asks(ctx)
		default:
			var done bool
			if done, err = r.key(ctx, pressed); done && err == nil {
				return nil
			}
		}
		if err != nil && !errors.Is(err, errBack) && !errors.Is(err, errAgain) {
			return err
		}
	}
}

// open is how many detectors are.
func (r *roaming) open() int {
	return seen(r.v, func(rec *record.Record) int {
		open := 0
		for _, o := range detectorsOf(rec) {
			if !o.Concluded() {
				open++
			}
		}
		return open
	})
}

// detectorsOf are the walk-test's steps.
func detectorsOf(r *record.Record) []*record.Outcome {
	return slices.DeleteFunc(r.Outcomes(), func(o *record.Outcome) bool {
		return o.Step().Stage != programme.StageWalkTest || o.Step().Kind != programme.StepDetector
	})
}

// watch waits for a key, or for something that has to be asked. What needs no question is
// taken meanwhile.
func (r *roaming) watch(ctx context.Context) (ask.Pressed, func(context.Context) error, error) {
	w, err := r.v.operator.Watch(ctx, ask.Watch{ID: roamID, Title: ask.Roaming{},
		Keys: []ask.Key{ask.Touch, ask.NotThat, ask.RoomDone, ask.Note, ask.InOrder, ask.Leave}})
	if err != nil {
		return ask.Pressed{}, nil, err
	}
	defer w.Close()
	for {
		pressed, err := r.v.await(ctx, w, w.Pressed(), r.waits)
		if err != nil || pressed.Key != "" {
			return pressed, nil, err
		}
		asks, err := r.take(ctx, w.Say)
		if err != nil && !errors.Is(err, errAgain) || asks != nil || r.open() == 0 {
			return pressed, asks, ignored(err)
		}
	}
}

// ignored is an error, unless it only says that something was told.
func ignored(err error) error {
	if errors.Is(err, errAgain) {
		return nil
	}
	return err
}

// waits is until something is to be done with what was heard.
func (r *roaming) waits(rec *record.Record, now time.Time) (time.Time, ask.Phrase, bool) {
	status := ask.RoamStatus{}
	for _, o := range detectorsOf(rec) {
		status.All++
		if !o.Concluded() {
			status.Open++
		}
	}
	elapsed := r.v.journal.Elapsed(now)
	var left time.Duration // until something is over
	over := false
	for _, op := range r.operations(rec) {
		if op.Restored == 0 {
			status.Active = append(status.Active, programme.NameOfZone(rec.Site().Zone(op.Zone)))
		}
		if stands := op.Over - elapsed; op.Restored > 0 && stands >= 0 && (left == 0 || stands < left) {
			left = stands + 1
		}
		over = over || r.due(rec, op, now)
	}
	if left == 0 {
		return time.Time{}, status, over
	}
	return now.Add(left), status, over
}

// operations are those that are still to be dealt with.
func (r *roaming) operations(rec *record.Record) []record.Operation {
	return slices.DeleteFunc(rec.Operations(r.since), func(op record.Operation) bool {
		return r.handled[operated{op.Zone, op.At}]
	})
}

// due tells whether something is to be done with an operation now.
func (r *roaming) due(rec *record.Record, op record.Operation, now time.Time) bool {
	name := operated{op.Zone, op.At}
	r.hail(op, now)
	s, asks := r.whose(rec, op)
	if asks {
		return !r.awaitsTouches(now) // one may name it
	}
	return s == nil || s.Concluded() || !r.told[name] ||
		op.Stood(r.v.journal.Elapsed(now)) && !r.awaitsTouches(now)
}

// whose is the detector that an operation is of, nil for none; asks tells that only the
// technician knows.
func (r *roaming) whose(rec *record.Record, op record.Operation) (s *record.Outcome, asks bool) {
	bank := rec.OfZone(op.Zone)
	if claimed := r.claimed[operated{op.Zone, op.At}]; claimed != nil {
		return claimed, false
	}
	switch {
	case len(bank) == 0, !slices.ContainsFunc(bank, func(o *record.Outcome) bool { return !o.Concluded() }):
		return nil, false
	case len(bank) > 1:
		return bank[0], true
	}
	return bank[0], false
}

// awaitsTouches tells whether the technician's phone is out of reach, or was until just now:
// its touches, which time what was heard, may still come.
func (r *roaming) awaitsTouches(now time.Time) bool {
	d, is := r.v.device()
	if !is {
		return false
	}
	if heard := now.Add(-d.Silent()); heard.Before(r.hailed) {
		if now.Sub(r.hailed) > answersWithin {
			r.back = now.Add(deliversFor)
		}
		return true
	}
	if d.Keeps() {
		r.back = now.Add(deliversFor)
	}
	return now.Before(r.back)
}

// hail finds out whether the phone is in reach, at each change of an operation.
func (r *roaming) hail(op record.Operation, now time.Time) {
	at := operated{op.Zone, op.At}
	if op.Restored > 0 {
		at.at = op.Restored
	}
	d, is := r.v.device()
	if !is || r.hails[at] {
		return
	}
	r.hails[at] = true
	if !r.awaitsTouches(now) {
		r.hailed = now
	}
	d.Hail()
}

// take does what is to be done with what was heard, up to the first thing that has to be
// asked.
func (r *roaming) take(ctx context.Context, say func(ask.Notice)) (asks func(context.Context) error, err error) {
	v := r.v
	type todo struct {
		op   record.Operation
		s    *record.Outcome
		asks bool
	}
	var all []todo
	now := v.clock.Now()
	if err := v.look(func(rec *record.Record) {
		for _, op := range r.operations(rec) {
			if r.due(rec, op, now) {
				s, asks := r.whose(rec, op)
				all = append(all, todo{op, s, asks})
			}
		}
	}); err != nil {
		return nil, err
	}
	for _, t := range all {
		name := operated{t.op.Zone, t.op.At}
		switch {
		case t.s == nil || !t.asks && t.s.Concluded():
			r.handled[name] = true
			r.operatedAgain(t.op, say)
		case t.asks:
			return func(ctx context.Context) error { return r.which(ctx, t.op) }, nil
		case !r.told[name]:
			r.heard(t.op, t.s, say)
		}
		if t.s != nil && !t.asks && !r.handled[name] && t.op.Stood(v.journal.Elapsed(now)) && !r.awaitsTouches(now) {
			r.handled[name] = true
			if err := r.credit(ctx, t.op, t.s); err != nil {
				return nil, err
			}
		}
	}
	return nil, nil
}

// heard tells of an operation, which is the last from now on.
func (r *roaming) heard(op record.Operation, s *record.Outcome, say func(ask.Notice)) {
	r.told[operated{op.Zone, op.At}] = true
	r.last = &lastHeard{op: op, step: s}
	if !slices.Contains(r.inRoom, s) {
		r.inRoom = append(r.inRoom, s)
	}
	say(ask.ReportsActive{Step: r.v.name(s)})
}

// operatedAgain tells that detectors were operated that need nothing more: of one that moves
// whenever anybody passes, once.
func (r *roaming) operatedAgain(op record.Operation, say func(ask.Notice)) {
	var name programme.ZoneName
	var motion, ours bool
	_ = r.v.look(func(rec *record.Record) {
		z := rec.Site().Zone(op.Zone)
		name, motion, ours = programme.NameOfZone(z), z.Kind.Motion(), len(rec.OfZone(op.Zone)) > 0
	})
	if motion && r.again[op.Zone] || !ours {
		return
	}
	r.again[op.Zone] = true
	say(ask.OperatedAgain{Zone: name})
}

// credit writes what an operation showed of a detector, and tells it.
func (r *roaming) credit(ctx context.Context, op record.Operation, s *record.Outcome) error {
	touch, why := r.timing(op)
	before := len(s.Attempts())
	operated, restored, err := r.v.credit(ctx, s, op, touch, why)
	r.wrote(op, s, before)
	if err != nil {
		return err
	}
	if operated.Answered() {
		r.v.tellAttempt(s, operated, restored)
	} else {
		r.v.tellShown(s, record.Operate, operated.Judgement)
	}
	return nil
}

// wrote keeps which attempt was written of the operation that was reported last, if one was.
func (r *roaming) wrote(op record.Operation, s *record.Outcome, before int) {
	attempts := len(s.Attempts())
	if r.last != nil && r.last.op.Zone == op.Zone && r.last.op.At == op.At && attempts > before {
		r.last.attempt = attempts
	}
}

// timing is the touch that times an operation, nil for none, and why none does. That is the
// last before it, if it came within the time that its kind is listened for, and no other report
// was nearer: who touches and then passes a motion detector on the way to a door has touched
// for the door. Where one came since whose instant nobody knows, it may have been given for
// this operation, and no other times it.
func (r *roaming) timing(op record.Operation) (touch *touched, why record.Untimed) {
	at, _ := r.v.instant(op.At)
	var found, unknown *touched
	for _, t := range r.touches {
		if !t.at.After(at) {
			found = t
		}
	}
	for _, t := range r.touches {
		if t.why != "" && !t.used && (found == nil || !t.at.Before(found.at)) {
			unknown = t
			break
		}
	}
	switch {
	case unknown != nil:
		if unknown.used = true; found != nil {
			found.used = true
		}
		return nil, unknown.why
	case found == nil || found.used || found.why != "" || !r.belongs(found, op):
		return nil, record.NoTouch
	}
	found.used = true
	return found, ""
}

// belongs tells whether nothing but an operation can be what a touch was given for.
func (r *roaming) belongs(t *touched, op record.Operation) (belongs bool) {
	_ = r.v.look(func(rec *record.Record) {
		listens := func(zone int) time.Duration {
			return rec.Site().Limits.ListenFor[rec.Site().Zone(zone).Kind].Duration()
		}
		passes := func(zone int) bool { return rec.Site().Zone(zone).Kind.Motion() }
		touch := r.v.journal.Elapsed(t.at)
		belongs = op.At-touch <= listens(op.Zone)
		for _, other := range rec.Operations(touch) {
			if passes(op.Zone) && !passes(other.Zone) && other.At-touch <= listens(other.Zone) {
				belongs = false
			}
		}
	})
	return belongs
}

// key does what a key asks for; done tells that the walk is over.
func (r *roaming) key(ctx context.Context, p ask.Pressed) (done bool, err error) {
	switch p.Key {
	case ask.Touch:
		return false, r.touch(ctx, p)
	case ask.NotThat:
		return false, r.notThat(ctx)
	case ask.RoomDone:
		return false, r.roomDone(ctx)
	case ask.Note:
		return false, r.about(r.noted(), func() error { return r.v.note(ctx, r.noted()) })
	case ask.InOrder:
		return true, nil
	case ask.Leave:
		return true, errLeave
	}
	return false, nil
}

// noted is the step that a note is about: what was operated last, or was to be.
func (r *roaming) noted() *record.Outcome {
	if r.last != nil {
		return r.last.step
	}
	return r.from
}

// touch keeps when the next operation begins. One that names its detector is a trial of it;
// where that has reported already, it says whose report it is.
func (r *roaming) touch(ctx context.Context, p ask.Pressed) error {
	v := r.v
	if p.To == "" {
		r.keepTouch(p)
		return nil
	}
	s := seen(v, func(rec *record.Record) *record.Outcome {
		i := slices.IndexFunc(detectorsOf(rec), func(o *record.Outcome) bool { return o.Step().Point == p.To })
		if i < 0 {
			return nil
		}
		return detectorsOf(rec)[i]
	})
	if s == nil {
		return nil
	}
	if s.Concluded() && !p.At.IsZero() && v.clock.Now().Sub(p.At) > answersWithin {
		v.operator.Tell(ask.TouchedConcluded{Step: v.name(s)}) // from out of reach: nobody waits for a question
		return nil
	}
	if s.Concluded() {
		return v.lookAt(ctx, r.from, s)
	}
	now := v.clock.Now()
	var waiting *record.Operation
	others := false
	_ = v.look(func(rec *record.Record) {
		at := v.pressedAt(p)
		if at.IsZero() {
			at = now
		}
		for _, op := range r.operations(rec) {
			before := op.Zone == s.Step().Zone && op.At <= v.journal.Elapsed(at)
			if !before || op.Stood(v.journal.Elapsed(now)) && !r.awaitsTouches(now) {
				continue
			}
			if claimed := r.claimed[operated{op.Zone, op.At}]; claimed != nil && claimed != s {
				others = others || op.Restored == 0 // the technician has said whose it is
				continue
			}
			waiting = &op
		}
	})
	if waiting != nil {
		name := operated{waiting.Zone, waiting.At}
		r.claimed[name] = s
		r.heard(*waiting, s, func(n ask.Notice) { v.operator.Tell(n) })
		return nil
	}
	switch {
	case others: // of which nothing can be heard until that is at rest
		v.operator.Tell(ask.StillActive{})
		return nil
	case !v.hears(s):
		v.operator.Tell(ask.NoCue{})
		return nil
	}
	if !slices.Contains(r.inRoom, s) {
		r.inRoom = append(r.inRoom, s)
	}
	p.Key = ask.Ready
	if p.Tap == nil && p.NotTimed == "" {
		p.Tap = v.ownTap(now, record.ByTouch)
	}
	return r.about(s, func() error { return v.attempt(ctx, s, p) })
}

// about does something that belongs to a detector.
func (r *roaming) about(s *record.Outcome, do func() error) error {
	r.v.at = s.Step().ID
	defer func() { r.v.at = "" }()
	return do()
}

// keepTouch keeps a touch for the next operation.
func (r *roaming) keepTouch(p ask.Pressed) {
	now := r.v.clock.Now()
	t := &touched{at: now, why: p.NotTimed}
	switch {
	case p.NotTimed != "":
	case p.Tap == nil:
		t.tap = *r.v.ownTap(now, record.ByTouch)
	default:
		t.at, t.tap, t.why = r.v.touch(p, now)
	}
	r.touches = append(r.touches, t)
	slices.SortStableFunc(r.touches, func(a, b *touched) int { return a.at.Compare(b.at) })
}
