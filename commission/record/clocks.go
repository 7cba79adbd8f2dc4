package record

import (
	"fmt"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

const (
	kindAbsent       = "absent"
	kindClockStepped = "clock-stepped"
)

// Absent tells that the program did not run for a while up to the entry: it was stopped,
// starved, or the computer slept. Both in nanoseconds.
type Absent struct {
	// LastedNS is how long by the clock of the run.
	LastedNS int64 `json:"lasted_nanosecond"`
	// SleptNS is how long the computer slept beside that, which the clock of the run does
	// not count where the system stops it.
	SleptNS int64 `json:"slept_nanosecond,omitempty"`
}

// ClockStepped tells that the clock that shows the time of day was set while the run went
// on: by so many nanoseconds forward, or back if negative. The entry has the new time.
type ClockStepped struct {
	ByNS int64 `json:"by_nanosecond"`
}

// Kind names the entry.
func (Absent) Kind() string { return kindAbsent }

// Kind names the entry.
func (ClockStepped) Kind() string { return kindClockStepped }

// Absence is a time in which the program did not run, and when it was noticed.
type Absence struct {
	Noticed time.Time
	Lasted  time.Duration // sleep included
	Asleep  bool          // the computer was
	Trial   bool          // that waited meanwhile, and is void
	Hold    bool          // mains was removed meanwhile: it does not count
}

// ClockStep is a setting of the clock that shows the time of day.
type ClockStep struct {
	At time.Time // by the clock as it was set
	By time.Duration
	// AtLeast tells that it was set while no program ran, back by so much or more.
	AtLeast bool
}

// Absences are the times in which the program did not run, as far as they matter.
func (r *Record) Absences() []Absence { return append([]Absence(nil), r.absences...) }

// ClockSteps are the settings of the clock that shows the time of day.
func (r *Record) ClockSteps() []ClockStep { return append([]ClockStep(nil), r.clockSteps...) }

// watched is the time for which the program has watched the visit, from its beginning:
// the clocks of its runs one after the other, without what it was absent for.
type watched struct {
	earlier time.Duration // of the runs before
	top     time.Duration // latest entry on the clock of the present run
	away    time.Duration // of the present run
	apart   time.Duration // what was not watched: breaks by the time of day, absences, sleep
}

// begin begins another run after a break.
func (w *watched) begin(after time.Duration) {
	*w = watched{earlier: w.earlier + w.top - w.away, apart: w.apart + max(0, after)}
}

// at is an instant of the present run, counted from its first entry.
func (w *watched) at(elapsed time.Duration) time.Duration { return w.earlier + elapsed - w.away }

// Watched is for how long the visit has been watched at an instant of the present run,
// counted from its first entry. Only differences mean anything.
func (r *Record) Watched(elapsed time.Duration) time.Duration { return r.watched.at(elapsed) }

// ownLoss is how soon after this program did not run the loss of a connection is its own
// doing: a broker gives up who says nothing for some seconds, and the end of the connection
// is met at once or with the next message. It may be told a moment before the absence is.
const ownLoss, ownLossBefore = 10 * time.Second, time.Second

// wentAway keeps when a long absence was noticed, and what was lost by it just before.
func (r *Record) wentAway(elapsed time.Duration) {
	r.backAt = elapsed
	for i := range r.outages {
		if o := &r.outages[i]; o.To.IsZero() && !o.Cut && elapsed-r.ears.lost[o.Ear] <= ownLossBefore {
			o.Own = true
		}
	}
}

// wasAwayAt tells whether a connection that is lost at an instant was lost by an absence.
func (r *Record) wasAwayAt(elapsed time.Duration) bool {
	return r.backAt > 0 && elapsed-r.backAt <= ownLoss
}

// longAway is an absence in which something may have come and gone unseen. What is shorter
// waits in the network for the program.
const longAway = time.Second

// MostLate is by how much the program may be late while a trial of a step waits: the
// uncertainty of its times, or a second where that of minutes is taken. By more, the trial
// shows nothing.
func MostLate(s programme.Step, l signal.Listening) time.Duration {
	if s.Kind == programme.StepRestart {
		return time.Second
	}
	return time.Duration(l.UncertaintyNS)
}

// passed is Watched with all that was not watched: what passed at most.
func (r *Record) passed(elapsed time.Duration) time.Duration {
	return r.watched.at(elapsed) + r.watched.apart
}

// longestAbsence bounds an absence: no run lasts longer (see longestLoss).
const longestAbsence = longestLoss

func (r *Record) absent(e journal.Entry, a Absent) error {
	lasted, slept := time.Duration(a.LastedNS), time.Duration(a.SleptNS)
	if lasted < 0 || slept < 0 || lasted+slept <= 0 || lasted > longestAbsence || slept > longestAbsence ||
		lasted > e.Elapsed-r.watched.away {
		return fmt.Errorf("%w: absent for %s, and asleep for %s, in a run of %s", ErrNoSense, lasted, slept, e.Elapsed)
	}
	if a := r.alarming.now; a != nil {
		a.away += lasted + slept
	}
	if lasted+slept >= longAway {
		r.looksAway(e.Elapsed - lasted)
		r.wentAway(e.Elapsed)
	}
	r.watched.away += lasted
	r.watched.apart += lasted + slept
	r.absences = append(r.absences, Absence{Noticed: e.At, Lasted: lasted + slept, Asleep: slept > 0,
		Trial: r.trial != nil, Hold: !r.mainsOff.IsZero()})
	if lasted+slept < longAway && r.trial != nil && r.trial.answeredBy(r.SinceCue(e.Elapsed-lasted)) {
		r.absences[len(r.absences)-1].Trial = false // its answer was in
		return nil
	}
	r.recent.cut(e.Elapsed, ByAbsence, r.states, "")
	r.endTrial(ByAbsence, e.Elapsed)
	return nil
}

func (r *Record) clockStepped(e journal.Entry, s ClockStepped) error {
	if s.ByNS == 0 {
		return fmt.Errorf("%w: a clock set by nothing", ErrNoSense)
	}
	r.clockSteps = append(r.clockSteps, ClockStep{At: e.At, By: time.Duration(s.ByNS)})
	return nil
}
