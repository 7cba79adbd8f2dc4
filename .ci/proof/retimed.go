package main

import (
	"encoding/json"
	"slices"
	"time"

	"loopwitness/commission/dryrun"
	"loopwitness/commission/journal"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// retimed is an honest journal to which something happened before one of its entries.
type retimed struct {
	dryrun.Forged
	at int
}

// before is a copy of a journal, in which something is to happen before an entry.
func (h honest) before(at int) *retimed {
	return &retimed{dryrun.Forged{Entries: slices.Clone(h.entries)}, at}
}

// sameRun tells whether the program ran from the entry before to the one at the place.
func (h honest) sameRun(at int) bool { return h.entries[at-1].Run == h.entries[at].Run }

// ended tells whether the visit was over or paused before the place.
func (h honest) ended(at int) bool { return h.entries[at-1].Kind == record.Paused{}.Kind() }

// trial is the place of the cue that waits at a place, and the step; 0 for none.
func (h honest) trial(at int) (cue int, step string) {
	for i := at - 1; i > 0; i-- {
		switch h.entries[i].Kind {
		case record.Ended{}.Kind(), record.Resumed{}.Kind(), record.Paused{}.Kind():
			return 0, ""
		case record.Cue{}.Kind():
			var c record.Cue
			if json.Unmarshal(h.entries[i].Body, &c) != nil {
				return 0, ""
			}
			return i, c.Step
		}
	}
	return 0, ""
}

// inAlarm tells whether a step of an alarm is under way at the place.
func (h honest) inAlarm(at int) bool {
	until, err := record.Fold(h.entries[:at])
	if err != nil {
		return false
	}
	on, _ := until.Alarm()
	return on != nil
}

// wall sets the time of day of all entries from the place on.
func (r *retimed) wall(by time.Duration) {
	for i := r.at; i < len(r.Entries); i++ {
		r.Entries[i].At = r.Entries[i].At.Add(by)
	}
}

// later has all entries from the place on happen later.
func (r *retimed) later(by time.Duration) {
	run := r.Entries[r.at].Run
	for i := r.at; i < len(r.Entries); i++ {
		r.Entries[i].At = r.Entries[i].At.Add(by)
		if r.Entries[i].Run == run {
			r.Entries[i].Elapsed += by
		}
	}
}

// put puts a fact before the place, when the entry before it was written.
func (r *retimed) put(f record.Fact) {
	r.Insert(r.at, 0, f)
	r.at++
}

// stepped sets the clock and tells it.
func (r *retimed) stepped(by time.Duration) {
	r.put(record.ClockStepped{ByNS: by.Nanoseconds()})
	r.Entries[r.at-1].At = r.Entries[r.at-1].At.Add(by)
	r.wall(by)
}

// slept lets the computer sleep.
func (r *retimed) slept(lasting time.Duration) {
	r.put(record.Absent{SleptNS: lasting.Nanoseconds()})
	r.Entries[r.at-1].At = r.Entries[r.at-1].At.Add(lasting)
	r.wall(lasting)
	r.voided()
}

// stopped stops the program; what follows comes later by as much.
func (r *retimed) stopped(lasting time.Duration) {
	r.put(record.Absent{LastedNS: lasting.Nanoseconds()})
	e := &r.Entries[r.at-1]
	e.At, e.Elapsed = e.At.Add(lasting), e.Elapsed+lasting
	r.later(lasting)
	r.voided()
}

// stoppedUntil stops the program from the entry before to the one at the place: nothing
// comes later.
func (r *retimed) stoppedUntil() (lasting time.Duration) {
	before, after := r.Entries[r.at-1], r.Entries[r.at]
	lasting = after.Elapsed - before.Elapsed
	r.put(record.Absent{LastedNS: lasting.Nanoseconds()})
	r.Entries[r.at-1].At, r.Entries[r.at-1].Elapsed = after.At, after.Elapsed
	r.voided()
	return lasting
}

// broken breaks the visit off and has it go on after a while, with a clock that was set.
func (r *retimed) broken(after, set time.Duration) {
	before := r.Entries[r.at-1]
	came := []record.Fact{record.Resumed{Tool: "proof"}}
	for _, kind := range []string{signal.Listening{}.Kind(), signal.Connection{}.Kind()} {
		if i := last(r.Entries[:r.at], kind); i >= 0 {
			f, err := record.FactOf(r.Entries[i])
			if err == nil {
				came = append(came, f)
			}
		}
	}
	run := r.Entries[r.at].Run
	r.wall(after + set)
	for i := r.at; i < len(r.Entries); i++ {
		if r.Entries[i].Run == run {
			r.Entries[i].Elapsed -= before.Elapsed
		}
		r.Entries[i].Run++
	}
	for _, f := range came {
		r.put(f)
		e := &r.Entries[r.at-1]
		e.At, e.Elapsed, e.Run = before.At.Add(after+set), 0, before.Run+1
	}
	r.voided()
}

// last is the place of the last entry of a kind, or -1.
func last(all []journal.Entry, kind string) int {
	for i, e := range slices.Backward(all) {
		if e.Kind == kind {
			return i
		}
	}
	return -1
}

// voided takes out the end of the trial that waited at the place: it has ended already.
func (r *retimed) voided() {
	at := honest{entries: r.Entries}
	if cue, _ := at.trial(r.at - 1); cue == 0 || r.waits() {
		return
	}
	for i := r.at; i < len(r.Entries); i++ {
		switch r.Entries[i].Kind {
		case record.Cue{}.Kind(), record.Resumed{}.Kind():
			return
		case record.Ended{}.Kind():
			r.Remove(i)
			return
		}
	}
}

// waits tells whether a trial waits still at the place: a short absence behind its answer
// spoils nothing.
func (r *retimed) waits() bool {
	for i := range r.Entries[:r.at] {
		r.Entries[i].N = i + 1
	}
	until, err := record.Fold(r.Entries[:r.at])
	if err != nil {
		return false
	}
	_, on := until.Trial()
	return on != nil
}

// fold is the record of the journal as it is now.
func (r *retimed) fold() (*record.Record, error) {
	for i := range r.Entries {
		r.Entries[i].N = i + 1
	}
	return record.Fold(r.Entries)
}
