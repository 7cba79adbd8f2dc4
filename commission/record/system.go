package record

import (
	"slices"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/signal"
)

// Told is what the controller said of itself, and when.
type Told struct {
	signal.System
	At      time.Time     // of arrival
	Entry   int           // of the journal
	Run     int           // in which it came
	Elapsed time.Duration // since the first entry of that run
}

// Told is all that the controller said of itself, in its order.
func (r *Record) Told() []Told { return slices.Clone(r.told) }

// Tells tells whether the source delivers an aspect now.
func (r *Record) Tells(a signal.Aspect) bool { return slices.Contains(r.Listening().Tells, a) }

// IsNow is what the controller said last of an aspect; known is false where it said
// nothing since the run began or the connection came back.
func (r *Record) IsNow(a signal.Aspect) (present, known bool) {
	present, known = r.aspects[a]
	return present, known
}

func (r *Record) system(e journal.Entry, s signal.System) error {
	if err := known(s); err != nil {
		return err
	}
	if s.Kept == signal.Again {
		return nil
	}
	r.told = append(r.told, Told{System: s, At: e.At, Entry: e.N, Run: e.Run, Elapsed: e.Elapsed})
	was, before := r.aspects[s.Aspect]
	r.aspects[s.Aspect] = s.Present
	r.faultTold(e, s)
	r.alarmTold(e, s, was, before)
	return nil
}
