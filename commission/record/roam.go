package record

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Operation is what a zone reported of being operated while nobody was told to, and what no
// trial has taken. Its instants are on the clock of the run.
type Operation struct {
	Zone     int
	At       time.Duration // of the report that it is active
	Restored time.Duration // of the report that it is at rest again; 0 while there is none
	// Over is until when its reports belong to it, if it stays as it is: it has stood at rest
	// then. 0 while it is not at rest.
	Over     time.Duration
	Chatters bool // it came to rest and moved again before it had stood
}

// Stood tells whether it has stood at rest before an instant, so that all of it is known.
func (o Operation) Stood(now time.Duration) bool { return o.Over > 0 && now > o.Over }

// Operations are what came of zones of this run after an instant, in the order in
// which they were operated. What had not stood at rest when the connection was lost is none.
func (r *Record) Operations(after time.Duration) []Operation {
	zones := make(map[string]*site.Zone, len(r.site.Zones)) // a walk asks often, and of many
	for i := range r.site.Zones {
		zones[r.site.Zones[i].Address] = &r.site.Zones[i]
	}
	open := map[int]*operating{}
	var all []Operation
	for _, e := range r.recent.after(after) {
		if e.by != "" {
			for zone, o := range open {
				if !r.concerns(e.ear, o.rests.zone.Address) {
					continue
				}
				if o.over(e.elapsed) {
					all = append(all, o.operation())
				}
				delete(open, zone) // whether it came to rest meanwhile is not known
			}
			continue
		}
		z := zones[e.signal.Address]
		if z == nil {
			continue
		}
		o := open[z.Number]
		if o != nil && o.over(e.elapsed) {
			all = append(all, o.operation())
			delete(open, z.Number)
			o = nil
		}
		switch {
		case e.signal.Kept != "":
		case o != nil:
			o.rests.hear(Heard{Since: e.elapsed - o.at, Address: z.Address, State: e.signal.State,
				Took: time.Duration(e.signal.TookNS)})
		case e.elapsed > r.recent.zoneEnded[z.Number] && e.was != signal.Active &&
			answers(z, e.signal.State) == signal.Active:
			open[z.Number] = r.operates(z, e.elapsed)
		}
	}
	for _, o := range slices.Collect(maps.Values(open)) {
		all = append(all, o.operation())
	}
	slices.SortFunc(all, func(a, b Operation) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Zone, b.Zone)) })
	return all
}

// operating is a zone that was operated, and how it comes to rest: as a trial would see it.
type operating struct {
	at    time.Duration
	rests *Trial
}

func (r *Record) operates(z *site.Zone, at time.Duration) *operating {
	t := newTrial(r.site, z, Restore, 0, signal.Active)
	t.own, t.overdue = true, true
	return &operating{at, t}
}

// over tells whether it has stood at rest by then.
func (o *operating) over(now time.Duration) bool {
	return o.rests.Reported() && now > o.at+o.rests.Deadline()
}

func (o *operating) operation() Operation {
	is := o.rests.outlook()
	op := Operation{Zone: o.rests.zone.Number, At: o.at, Chatters: is.verdict == Unsteady}
	if is.response > 0 && o.rests.Deadline() < leisure {
		op.Restored, op.Over = o.at+is.response, o.at+o.rests.Deadline()
	}
	return op
}

// LastTrialEnded is when the last trial of this run ended; 0 for none.
func (r *Record) LastTrialEnded() time.Duration {
	last := r.recent.trialEnded
	for _, ended := range r.recent.zoneEnded {
		last = max(last, ended)
	}
	return last
}

// OfZone are the detectors of a zone that the walk-test takes.
func (r *Record) OfZone(zone int) (all []*Outcome) {
	for _, o := range r.outcomes {
		if o.step.Stage == programme.StageWalkTest && o.step.Kind == programme.StepDetector && o.step.Zone == zone {
			all = append(all, o)
		}
	}
	return all
}

// InRoom are the detectors that are open and that were to be expected where others were
// operated: on the same zones, or at the same place of the same area.
func (r *Record) InRoom(operated []*Outcome) (expected []*Outcome) {
	type place struct{ area, location string }
	zones, places := map[int]bool{}, map[place]bool{}
	at := func(o *Outcome) place {
		z, d, err := r.site.Find(o.step.Point)
		if err != nil || d.Location == "" {
			return place{}
		}
		return place{z.Area, d.Location}
	}
	for _, o := range operated {
		zones[o.step.Zone], places[at(o)] = true, true
	}
	for _, o := range r.outcomes {
		if o.step.Stage != programme.StageWalkTest || o.step.Kind != programme.StepDetector || o.settled ||
			slices.Contains(operated, o) {
			continue
		}
		if p := at(o); zones[o.step.Zone] || p != (place{}) && places[p] {
			expected = append(expected, o)
		}
	}
	return expected
}
