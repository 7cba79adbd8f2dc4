package record

import (
	"errors"
	"regexp"
	"strconv"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
)

const kindReceived = "received"

// Received is what the receiving centre says of an alarm, as typed: the time of day at which
// it came, by the centre's clock, to the minute or the second; or that it never came. Clock is
// what that clock showed at the step's moment CentreClock, "" where nobody asked.
type Received struct {
	Step      string `json:"step"`
	Time      string `json:"time,omitempty"`
	Never     bool   `json:"never,omitempty"`
	Reference string `json:"reference,omitempty"`
	Clock     string `json:"centre_clock,omitempty"`
}

// Kind names the entry.
func (Received) Kind() string { return kindReceived }

// Receipt is what came of the question, and what its time can be held against.
type Receipt struct {
	Received
	At time.Time // of the answer
	// Intruded is the instant of the alarm, nil where that is not known in this run.
	Intruded *Timed
	// Compared is when the centre's clock showed Showed, nil where nobody asked in the run of
	// the alarm: then nothing tells how the two clocks differ.
	Compared *Timed
	Showed   string
}

// Receipt is what the centre said of a path, nil for nothing.
func (s *Outcome) Receipt() *Receipt { return copied(s.receipt) }

// clockForm is a time of day to the minute or the second.
var clockForm = regexp.MustCompile(`^([01]?[0-9]|2[0-3]):([0-5][0-9])(?::([0-5][0-9]))?$`)

// ErrNoClock says that a text is no time of day.
var ErrNoClock = errors.New("write hours and minutes, with seconds where they are known: 21:05 or 21:05:30")

// TimeOfDay is a time of day as a clock shows it, since midnight, and how far apart what it
// shows is: a second or a minute.
func TimeOfDay(text string) (since, resolution time.Duration, err error) {
	found := clockForm.FindStringSubmatch(text)
	if found == nil {
		return 0, 0, ErrNoClock
	}
	resolution = time.Minute
	for i, unit := range []time.Duration{time.Hour, time.Minute, time.Second} {
		n, err := strconv.Atoi(found[i+1])
		if err == nil {
			since += time.Duration(n) * unit
		}
		if i == 2 && err == nil {
			resolution = time.Second
		}
	}
	return since, resolution, nil
}

func (f Received) check() error {
	if f.Never {
		if f.Time != "" || f.Reference != "" {
			return errors.New("what never came has a time")
		}
	} else if _, _, err := TimeOfDay(f.Time); err != nil {
		return err
	}
	if f.Clock == "" {
		return nil
	}
	_, _, err := TimeOfDay(f.Clock)
	return err
}

func (r *Record) received(e journal.Entry, f Received) error {
	sr, err := r.outcomeFor(f.Step, f)
	if err != nil {
		return err
	}
	if err := f.check(); err != nil {
		return refuse(LawReceipt, err)
	}
	if a := r.alarming.now; f.Clock != "" {
		at := (*Timed)(nil)
		if a != nil && r.alarming.at == sr {
			at = lastOf(a.instants, []Instant{CentreClock})
		}
		if at == nil {
			return refuse(LawReceipt, errors.New("a clock that nobody asked for"))
		}
		r.alarming.centre = &comparison{*at, f.Clock}
	}
	sr.receipt = &Receipt{Received: f, At: e.At}
	if o := r.index[programme.IDAlarmIntrusion]; o != nil && o.LastAlarm() != nil {
		if t, is := o.LastAlarm().First(Intruded, nil); is && !t.Never {
			sr.receipt.Intruded = &t
		}
	}
	if c := r.alarming.centre; c != nil && sr.receipt.Intruded != nil && c.timed.Run == sr.receipt.Intruded.Run {
		at := c.timed
		sr.receipt.Compared, sr.receipt.Showed = &at, c.said
	}
	r.alarmConcluded(Answer{Step: f.Step, Result: Done})
	r.latestTaken = sr
	r.settle(sr, e)
	return nil
}
