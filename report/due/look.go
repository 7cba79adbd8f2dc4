package due

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/job"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// looked is what one job has.
type looked struct {
	system      System
	outstanding []Matter
	battery     *Battery
	meters      []Instrument
	troubles    []Trouble
}

// wholeVisits look at a system as a whole: the next is counted from them.
var wholeVisits = []programme.VisitKind{programme.Handover, programme.Maintenance, programme.TakeOver}

func look(dir string, o Options) looked {
	f := job.At(dir)
	l := looked{system: System{Folder: dir, Findings: map[string]int{}}}
	trouble := func(path string, err error) { l.troubles = append(l.troubles, Trouble{path, err}) }
	st, err := f.Site()
	if err != nil {
		trouble(f.SitePath(), err)
	}
	visits, err := f.Visits()
	if err != nil {
		trouble(dir, err)
	}
	for _, v := range visits {
		if l.system.ID = v.First(); l.system.ID != "" {
			break
		}
	}
	// From the newest back to the last that looked at the whole system.
	var later []*judge.Assessment // the newest first
	for _, v := range slices.Backward(visits) {
		r, err := v.Record()
		if errors.Is(err, job.ErrNeverBegan) {
			continue
		}
		if err != nil {
			trouble(v.Journal(), err)
			continue
		}
		if st == nil { // as the newest visit had it
			st = r.Site()
		}
		switch {
		case r.Discarded() != nil, r.Simulated() && !o.Practice:
			continue
		case !r.Done():
			if l.system.Open == "" {
				l.system.Open = v.Name
			}
			continue
		}
		later = append(later, judge.Assess(r))
		if slices.Contains(wholeVisits, r.Opened().Visit) {
			l.system.Counted, l.system.From = r.Opened().Visit, dayOf(r, r.Attended())
			break
		}
	}
	if st != nil {
		l.describe(st)
	}
	l.outstandingOf(later)
	l.metersOf(later)
	return l
}

// dayOf is the day of a time on the premises, as midnight UTC.
func dayOf(r *record.Record, at time.Time) time.Time {
	y, m, d := r.Local(at).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func (l *looked) describe(st *site.Site) {
	s := &l.system
	s.Reference, s.Name, s.Address, s.Maintenance = st.Reference, st.Premises.Name, st.Premises.Address, st.Maintenance
	if s.ID == "" {
		s.ID = digest(s.Reference, s.Name, s.Address)
	}
	if i := st.Maintenance.Interval; i.Given() && !s.From.IsZero() {
		s.Due = i.After(s.From)
	}
	if b := st.Supply.Battery; st.Supply.HasBattery() {
		l.battery = &Battery{System: s.Folder, Name: s.Name, Chemistry: b.Chemistry, ID: s.ID, Fitted: parsed(b.Fitted)}
		life, _ := checks.Chemistry(b.Chemistry).ServiceLife()
		if b.Life.Given() {
			life, l.battery.ByMaker = b.Life.Duration(), true
		}
		if life > 0 && !l.battery.Fitted.IsZero() {
			l.battery.Until = l.battery.Fitted.Add(life).Truncate(24 * time.Hour)
		}
	}
}

func parsed(day string) time.Time {
	t, _ := time.Parse(time.DateOnly, day) // zero for none
	return t
}

// outstandingOf lists what the last visit to the whole system found, without what a later one
// took again, and what the later ones found. What rests on no step, such as a key of the site
// file, each visit says anew.
func (l *looked) outstandingOf(later []*judge.Assessment) {
	for i, a := range later {
		for n, f := range slices.Concat(a.Findings(), a.Limitations()) {
			if ofTheVisit(f) || i > 0 && takenSince(a.RestsOn(f), later[:i]) {
				continue
			}
			m := Matter{System: l.system.Folder, Name: l.system.Name, ID: f.ID, Visit: a.Record().Opened().Number,
				Severity: string(f.Severity()), Finding: n < len(a.Findings()), Of: f,
				UID: digest(l.system.ID, string(f.Said()))}
			if u := a.Undertaken(f); u != nil {
				m.Action, m.By, m.Who = u.Action, parsed(u.By), u.Who
			}
			l.outstanding = append(l.outstanding, m)
			l.system.Findings[m.Severity]++
		}
	}
}

// ofTheVisit tells whether a limitation is of the visit, not of the system: there is nothing
// to put right.
func ofTheVisit(f judge.Finding) bool {
	switch f.What.(type) {
	case judge.Practice, judge.RetestExtent, judge.WasAbsent, judge.ClockSet, judge.SignalsLost, judge.TimedDifferently:
		return true
	}
	return false
}

// takenSince tells whether later visits took all steps again, or there are none.
func takenSince(steps []string, later []*judge.Assessment) bool {
	return !slices.ContainsFunc(steps, func(id string) bool {
		return !slices.ContainsFunc(later, func(a *judge.Assessment) bool {
			o := a.Record().Find(id)
			return o != nil && o.Concluded() && o.Result() != record.LeftOut
		})
	})
}

func (l *looked) metersOf(later []*judge.Assessment) {
	for _, a := range later {
		m := a.Record().Voltmeter()
		if m == nil || m.Simulated || slices.ContainsFunc(l.meters, func(i Instrument) bool { return i.Name == m.Name }) {
			continue
		}
		l.meters = append(l.meters, Instrument{Name: m.Name, Until: parsed(m.Calibrated)})
	}
}

func gravity(m Matter) int { return slices.Index(judge.Severities, judge.Severity(m.Severity)) }

func digest(parts ...string) string {
	h := sha256.New()
	for _, p := range parts {
		h.Write([]byte(p))
		h.Write([]byte{0})
	}
	return hex.EncodeToString(h.Sum(nil))
}
