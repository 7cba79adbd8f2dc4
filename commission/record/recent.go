package record

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// A cue may be given where this program cannot be reached, and be delivered after the
// signals that answered it. What follows keeps of each run what is needed to take it at
// the instant it was given.

// recent is what came lately, in the order of the journal.
type recent struct {
	events     []event
	dropped    bool
	reach      time.Duration // nothing that came after it was dropped
	trialEnded time.Duration // the latest end of a trial that was cued
	// zoneEnded is, by zone, until when signals belong to a trial of it.
	zoneEnded map[int]time.Duration
}

// event is a signal of a zone and the state that was known of its address before; or,
// where by is set, a loss of the connection or of signals, and all states before.
type event struct {
	elapsed time.Duration
	signal  signal.Signal
	was     signal.State
	by      End
	ear     signal.Way // of several that was lost, "" for all
	states  map[string]signal.State
}

// mostRecent bounds the events that are kept.
const mostRecent = 4096

func (q *recent) add(elapsed time.Duration, s signal.Signal, was signal.State) {
	q.append(event{elapsed: elapsed, signal: s, was: was})
}

func (q *recent) cut(elapsed time.Duration, by End, states map[string]signal.State, ear signal.Way) {
	q.append(event{elapsed: elapsed, by: by, ear: ear, states: maps.Clone(states)})
}

func (q *recent) append(e event) {
	if len(q.events) >= 2*mostRecent {
		for _, d := range q.events[:mostRecent] {
			q.reach = max(q.reach, d.elapsed)
		}
		q.events, q.dropped = slices.Clone(q.events[mostRecent:]), true
	}
	q.events = append(q.events, e)
}

// after are the events since an instant.
func (q *recent) after(given time.Duration) []event {
	for i, e := range q.events {
		if e.elapsed > given {
			return q.events[i:]
		}
	}
	return nil
}

// stateAt is what was known of an address at an instant; now is what is known now.
func (q *recent) stateAt(given time.Duration, address string, now map[string]signal.State) signal.State {
	for _, e := range q.after(given) {
		switch {
		case e.by != "":
			return e.states[address]
		case e.signal.Address == address:
			return e.was
		}
	}
	return now[address]
}

// ended keeps until when signals belong to a trial that has ended.
func (q *recent) ended(t *Trial, cue, elapsed time.Duration) {
	o := t.outlook()
	switch {
	case !t.own:
		q.trialEnded = max(q.trialEnded, elapsed)
	case t.half == Operate && o.response > 0:
		elapsed = cue + o.response // what follows is its coming to rest
	default:
		elapsed = cue + t.ended
	}
	if q.zoneEnded == nil {
		q.zoneEnded = map[int]time.Duration{}
	}
	q.zoneEnded[t.zone.Number] = max(q.zoneEnded[t.zone.Number], elapsed)
	if t.own && o.other != nil { // what answered instead proves nothing of its own
		q.zoneEnded[o.other.Number] = max(q.zoneEnded[o.other.Number], cue+o.last)
	}
}

// StateThen is what was known of an address at an instant of this run, counted from its
// first entry, as far as that is kept.
func (r *Record) StateThen(given time.Duration, address string) signal.State {
	return r.recent.stateAt(given, address, r.states)
}

// CueFits tells why a cue for a zone that was given at an instant of this run, counted from
// its first entry, cannot be taken any more. Where it is the technician's own (see Cue),
// detectors of other zones may have been operated since.
func (r *Record) CueFits(given time.Duration, zone int, own bool) error {
	switch {
	case given < 0:
		return errors.New("it is from before this run")
	case given < r.recent.trialEnded && !own, given < r.recent.zoneEnded[zone]:
		return errors.New("it is from before the end of an earlier trial")
	case r.recent.dropped && given <= r.recent.reach:
		return errors.New("it is so old that the signals after it are no longer known")
	}
	return nil
}

// given is the instant of a cue.
func (r *Record) given(e journal.Entry, zone int, c Cue) (time.Duration, error) {
	switch {
	case c.BeforeNS < 0 || c.UncertaintyNS < 0:
		return 0, fmt.Errorf("%w: a cue from after its entry, or known better than exactly", ErrNoSense)
	case c.UntilNS < 0 || c.UntilNS > 0 && c.UntilNS >= c.BeforeNS:
		return 0, fmt.Errorf("%w: a wait that was over before its cue", ErrNoSense)
	case c.NotTimed != "" && !slices.Contains(untimed, c.NotTimed):
		return 0, fmt.Errorf("%w: not timed because of %q", ErrUnknownKind, c.NotTimed)
	case c.Own && c.NotTimed == "" && (c.Tap == nil || c.Half == Restore):
		return 0, refuse(LawOwnOrder, errors.New("what nobody was told to do, and no touch tells when, is timed"))
	case c.Tap != nil && c.Tap.Check() != nil:
		return 0, refuse(LawTouchBounds, c.Tap.Check())
	}
	if c.BeforeNS == 0 {
		return e.Elapsed, nil
	}
	given := time.Duration(-1)
	if time.Duration(c.BeforeNS) <= e.Elapsed {
		given = e.Elapsed - time.Duration(c.BeforeNS)
	}
	if err := r.CueFits(given, zone, c.Own); err != nil {
		return 0, refuse(LawOnce, fmt.Errorf("a cue cannot be taken: %w", err))
	}
	return given, nil
}

// combined is the uncertainty of a time that several uncertainties add to (JCGM 100, 5.1.2).
func combined(ofNS ...int64) time.Duration {
	all := 0.0
	for _, ns := range ofNS {
		all = math.Hypot(all, float64(ns))
	}
	return time.Duration(all)
}

// catchUp lets the trial in progress hear what came since its cue.
func (r *Record) catchUp() {
	t := r.trial
	for _, e := range r.recent.after(r.cue) {
		since := e.elapsed - r.cue
		switch {
		case t.overdue && since > t.Deadline(), t.cutBy(since):
			t.over = true
			return
		case e.by == ByLost && (r.onTrial.step.Kind == programme.StepRestart || !r.concerns(e.ear, t.zone.Address)):
		case e.by != "":
			r.endTrial(e.by, e.elapsed)
			return
		case e.signal.Kept == "":
			t.hear(Heard{Since: since, Address: e.signal.Address, State: e.signal.State, Raw: e.signal.Raw,
				Took: time.Duration(e.signal.TookNS)})
		}
	}
}
