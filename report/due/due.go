package due

import (
	"cmp"
	"context"
	"errors"
	"runtime"
	"slices"
	"time"

	"golang.org/x/sync/errgroup"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Options are what is looked for.
type Options struct {
	// On is the day that counts as today, as midnight UTC.
	On time.Time
	// Practice tells that visits that were simulated count, too.
	Practice bool
}

// Report is what was found in all jobs.
type Report struct {
	On          time.Time
	Systems     []System     // by when they are due, those that are not known last
	Outstanding []Matter     // the gravest first, then by day
	Batteries   []Battery    // by how much of their life is left
	Instruments []Instrument // by when their calibration ends
	Troubles    []Trouble
}

// System is one job.
type System struct {
	Folder      string
	ID          string // that no change of the site file changes, for calendars
	Reference   string
	Name        string // of the premises
	Address     string
	Maintenance site.Maintenance
	// Counted is the kind of the visit that the next is counted from, "" for none, and From
	// the day on which it ended.
	Counted programme.VisitKind
	From    time.Time
	Due     time.Time // zero where it is not known
	Open    string    // the name of a visit that is not finished, "" for none
	// Findings count what is outstanding, by severity.
	Findings map[string]int
}

// Days is how many days are left until a day; negative when it is past.
func Days(on, until time.Time) int { return int(until.Sub(on).Hours() / 24) }

// Over tells whether a day is past.
func Over(on, until time.Time) bool { return !until.IsZero() && until.Before(on) }

// Matter is a finding or limitation that is outstanding, and what was undertaken about it.
type Matter struct {
	System   string // the folder
	Name     string // of the premises
	ID       string // F1, L1, of the visit
	UID      string // for calendars
	Visit    string
	Severity string
	Finding  bool // else a limitation
	Of       judge.Finding
	Action   record.Action
	By       time.Time // zero for no day
	Who      string
}

// Battery is a standby battery.
type Battery struct {
	System, Name, Chemistry string
	ID                      string
	Fitted                  time.Time // zero for not said
	Until                   time.Time // the end of its service life, zero where that is not known
	ByMaker                 bool      // the life is its maker's, else the usual one
}

// Instrument is a meter that systems were measured with.
type Instrument struct {
	Name    string
	Until   time.Time // of its calibration, zero for not stated
	Systems int
}

// Overdue tells whether anything is: a visit, an undertaking, a calibration, or a battery
// whose maker states its life. A usual life is only ours.
func (r *Report) Overdue() bool {
	return slices.ContainsFunc(r.Systems, func(s System) bool { return Over(r.On, s.Due) }) ||
		slices.ContainsFunc(r.Outstanding, func(m Matter) bool { return Over(r.On, m.By) }) ||
		slices.ContainsFunc(r.Instruments, func(i Instrument) bool { return Over(r.On, i.Until) }) ||
		slices.ContainsFunc(r.Batteries, func(b Battery) bool { return b.ByMaker && Over(r.On, b.Until) })
}

// Within leaves only what is due until so many days from today, or of which that is not known.
func (r *Report) Within(days int) {
	last := r.On.AddDate(0, 0, days)
	r.Systems = slices.DeleteFunc(r.Systems, func(s System) bool { return s.Due.After(last) })
	r.Outstanding = slices.DeleteFunc(r.Outstanding, func(m Matter) bool { return m.By.After(last) })
	r.Batteries = slices.DeleteFunc(r.Batteries, func(b Battery) bool { return b.Until.After(last) })
	r.Instruments = slices.DeleteFunc(r.Instruments, func(i Instrument) bool { return i.Until.After(last) })
}

// ErrBrokenOff says that not all jobs were looked at.
var ErrBrokenOff = errors.New("broken off: not all jobs were looked at")

// Look looks through jobs, some side by side.
func Look(ctx context.Context, jobs []string, o Options) (*Report, error) {
	all := make([]looked, len(jobs))
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.NumCPU())
	for i, dir := range jobs {
		g.Go(func() error {
			if ctx.Err() != nil {
				return ErrBrokenOff
			}
			all[i] = look(dir, o)
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	r := &Report{On: o.On}
	meters := map[string]*Instrument{}
	for _, l := range all {
		r.Troubles = append(r.Troubles, l.troubles...)
		r.Systems = append(r.Systems, l.system)
		r.Outstanding = append(r.Outstanding, l.outstanding...)
		if l.battery != nil {
			r.Batteries = append(r.Batteries, *l.battery)
		}
		for _, m := range l.meters {
			one := meters[m.Name]
			if one == nil {
				one = &Instrument{Name: m.Name}
				meters[m.Name] = one
			}
			one.Systems++
			if m.Until.After(one.Until) { // it was calibrated again since
				one.Until = m.Until
			}
		}
	}
	for _, m := range meters {
		r.Instruments = append(r.Instruments, *m)
	}
	r.sort()
	return r, nil
}

func (r *Report) sort() {
	slices.SortStableFunc(r.Systems, func(a, b System) int {
		return cmp.Or(byDay(a.Due, b.Due),
			cmp.Compare(a.Folder, b.Folder))
	})
	slices.SortStableFunc(r.Outstanding, func(a, b Matter) int {
		return cmp.Or(cmp.Compare(gravity(a), gravity(b)), byDay(a.By, b.By), cmp.Compare(a.System, b.System))
	})
	slices.SortStableFunc(r.Batteries, func(a, b Battery) int {
		return cmp.Or(byDay(a.Until, b.Until), cmp.Compare(a.System, b.System))
	})
	slices.SortFunc(r.Instruments, func(a, b Instrument) int {
		return cmp.Or(byDay(a.Until, b.Until),
			cmp.Compare(a.Name, b.Name))
	})
}

// byDay orders days; one that is not known stands last.
func byDay(a, b time.Time) int {
	switch {
	case a.IsZero() != b.IsZero() && a.IsZero():
		return 1
	case a.IsZero() != b.IsZero():
		return -1
	}
	return a.Compare(b)
}
