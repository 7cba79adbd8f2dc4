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

// What others may know of a record. Lists and values are copies: only Take changes
// a record. The site is shared, and read only.

// copied is a copy of what a pointer points to, nil for nil.
func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	c := *p
	return &c
}

// Site is what is fitted, as the first entry has it. It must not be changed.
func (r *Record) Site() *site.Site { return r.site }

// Opened is the first entry; its programme must not be changed.
func (r *Record) Opened() Opened { return r.opening }

// Language is the tag of the visit's language: the one that it was begun with, else the site's.
func (r *Record) Language() string {
	return cmp.Or(r.opening.Language, r.site.Language, site.Languages[0])
}

// Begun is the time of the first entry.
func (r *Record) Begun() time.Time { return r.begun }

// Latest is the time of the last entry.
func (r *Record) Latest() time.Time { return r.latest }

// Attended is the time of the last entry of the visit itself; a photograph may be
// added later.
func (r *Record) Attended() time.Time { return r.attended }

// Entries is how many entries were taken.
func (r *Record) Entries() int { return r.entries }

// Runs is the number of the present run, from 1.
func (r *Record) Runs() int { return r.runs }

// Breaks are the pauses, and the ends without one.
func (r *Record) Breaks() []Break { return slices.Clone(r.breaks) }

// Outages are the times without a connection to the controller.
func (r *Record) Outages() []Break {
	all := slices.Clone(r.outages)
	for i := range all {
		if o := &all[i]; o.To.IsZero() && !o.Cut {
			o.Lasted = r.elapsed - r.ears.lost[o.Ear]
		}
	}
	return all
}

// Holds are the times in which mains was removed.
func (r *Record) Holds() []Hold {
	holds := slices.Clone(r.holds)
	if n := len(holds); n > 0 && holds[n-1].To.IsZero() {
		holds[n-1].Watched = r.SinceOff(r.watched.top)
	}
	return holds
}

// Losses are the times in which signals were lost, since they came faster than they
// could be written.
func (r *Record) Losses() []Loss { return slices.Clone(r.losses) }

// Lost counts the signals that were lost.
func (r *Record) Lost() int {
	n := 0
	for _, l := range r.losses {
		n += l.Signals
	}
	return n
}

// Sources are the ways in which signals were received, one after the other.
func (r *Record) Sources() []signal.Listening { return slices.Clone(r.sources) }

// TimeSimulated tells whether time itself was simulated in any part of the visit.
func (r *Record) TimeSimulated() bool {
	return slices.ContainsFunc(r.sources, func(l signal.Listening) bool { return l.TimedBy == signal.BySimulatedTime })
}

// Outcomes are the steps of the programme and what came of each.
func (r *Record) Outcomes() []*Outcome { return slices.Clone(r.outcomes) }

// Chosen is the open step that the technician went to by its name, nil for none.
func (r *Record) Chosen() *Outcome {
	if s := r.index[r.ahead]; s != nil && !s.settled {
		return s
	}
	return nil
}

// Stage is what the technician chose last, "" for the programme's order.
func (r *Record) Stage() programme.Stage { return r.stage }

// Energised are the names of the outputs that may be on, in their order.
func (r *Record) Energised() []string { return slices.Sorted(maps.Keys(r.on)) }

// IsOn tells whether an output may be on.
func (r *Record) IsOn(output string) bool { return r.on[output] }

// MainsOff is when mains was removed; zero when it is present.
func (r *Record) MainsOff() time.Time { return r.mainsOff }

// Connected tells whether the controller can be heard, by every ear.
func (r *Record) Connected() bool { return r.listened && len(r.ears.lost) == 0 }

// Lapsed tells that a signature lapsed, since a step was taken again after it.
func (r *Record) Lapsed() bool { return r.lapsed }

// Signals counts those that were written.
func (r *Record) Signals() int { return r.signals }

// MostStrangers is how many addresses that the site does not have a visit writes
// down; further ones are left out, as are all but the first signals of each.
const MostStrangers = 1000

// Strangers are the addresses that the site does not have, with how many signals of
// each were written.
func (r *Record) Strangers() map[string]int { return maps.Clone(r.strangers) }

// Garbled is the last report of an address that no rule understood, "" for none.
func (r *Record) Garbled(address string) string { return r.garbled[address] }

// GarbledNow is the last report of an address if no rule understood it, "" if one did.
func (r *Record) GarbledNow(address string) string {
	if r.garbled[address] == "" {
		return ""
	}
	for _, e := range slices.Backward(r.recent.events) {
		if e.by == "" && e.signal.Address == address {
			if e.signal.State == signal.NotUnderstood {
				return e.signal.Raw
			}
			return ""
		}
	}
	return ""
}

// Stuck is why an output could not be switched off at once, "" if it could.
func (r *Record) Stuck(output string) string { return r.stuck[output] }

// Photographs are those that were added, in their order.
func (r *Record) Photographs() []Photograph { return slices.Clone(r.photographs) }

// Step is what was to be done.
func (o *Outcome) Step() programme.Step { return o.step }

// Attempts are all, also those that were broken off.
func (o *Outcome) Attempts() []Attempt { return slices.Clone(o.attempts) }

// Answer is the last answer, nil for none.
func (o *Outcome) Answer() *Answer { return copied(o.answer) }

// Earlier are the answers that the last one has replaced.
func (o *Outcome) Earlier() []Answer { return slices.Clone(o.earlier) }

// Readings are all, in their order.
func (o *Outcome) Readings() []Taken { return slices.Clone(o.readings) }

// Instrument is what was named, nil for none.
func (o *Outcome) Instrument() *Instrument { return copied(o.instrument) }

// Signed is the name under the visit, nil for none.
func (o *Outcome) Signed() *Signed {
	c := copied(o.signed)
	if c != nil {
		c.Accepted, c.Drawing, c.Strokes = slices.Clone(c.Accepted), slices.Clone(c.Drawing), c.Strokes.clone()
	}
	return c
}

// SignedEntry is the number of the entry with the name under the visit, 0 for none.
func (o *Outcome) SignedEntry() int {
	if o.signed == nil {
		return 0
	}
	return o.signedEntry
}

// Notes are the remarks about the step.
func (o *Outcome) Notes() []string { return slices.Clone(o.notes) }

// At is when it was concluded.
func (o *Outcome) At() time.Time { return o.at }

// Half is what was asked of the technician.
func (t *Trial) Half() Half { return t.half }

// Zone is what is on trial.
func (t *Trial) Zone() *site.Zone { return t.zone }

// Kind is what the detector on trial is.
func (t *Trial) Kind() site.DetectorKind { return t.kind }

// Rules are what it is held against.
func (t *Trial) Rules() Rules { return t.rules }

// Heard is all that came, in its order.
func (t *Trial) Heard() []Heard { return slices.Clone(t.heard) }

// EndedBy is why the wait ended, "" while it lasts.
func (t *Trial) EndedBy() End { return t.endedBy }

// Ended is how long after the cue the wait ended.
func (t *Trial) Ended() time.Duration { return t.ended }

// At is the wall time of the cue.
func (t *Trial) At() time.Time { return t.at }

// MainsOff tells that mains was removed when the cue was given.
func (t *Trial) MainsOff() bool { return t.mainsOff }
