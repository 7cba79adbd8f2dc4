package judge

import (
	"slices"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// NextVisit is when the next maintenance is due. Due is zero where nothing was agreed, or no
// visit that it is counted from is known.
type NextVisit struct {
	Agreed   bool // an interval was
	None     bool // it is declared that nothing was
	Interval site.Interval
	From     time.Time // the day on which the visit ended that it is counted from, on the premises
	Due      time.Time // the day, as midnight UTC
}

// wholeVisits are the kinds of visits that the next is counted from: they look at the whole system.
var wholeVisits = []programme.VisitKind{programme.Handover, programme.Maintenance, programme.TakeOver}

// Next is when the next maintenance is due, by the site file of the visit: an interval after
// this visit if the system was looked at as a whole, else after the latest earlier one that
// was finished and did so, as this record remembers it. What is not finished puts nothing off.
func (a *Assessment) Next() NextVisit {
	r := a.record
	m := r.Site().Maintenance
	n := NextVisit{Agreed: m.Interval.Given(), None: m.None, Interval: m.Interval}
	if slices.Contains(wholeVisits, r.Opened().Visit) && a.onlyNamesOpen() {
		n.From = day(r, r.Attended())
	} else if last := latestCounted(r.Opened().Earlier, r.Begun()); !last.IsZero() {
		n.From = day(r, last)
	}
	if n.Agreed && !n.From.IsZero() {
		n.Due = m.Interval.After(n.From)
	}
	return n
}

// onlyNamesOpen tells whether nothing is open but names: those who sign are shown when the
// next visit is due.
func (a *Assessment) onlyNamesOpen() bool {
	_, names := a.record.Count(programme.StageSignOff)
	return a.open == names
}

// latestCounted is when the latest of some visits ended that is counted. One that ended well
// after this one began is of a clock that was wrong: it puts nothing off.
func latestCounted(earlier []record.Earlier, begun time.Time) (last time.Time) {
	for _, e := range earlier {
		ahead := e.Ended.After(begun.Add(24 * time.Hour))
		if !ahead && slices.Contains(wholeVisits, e.Visit) && e.Result != string(NotFinished) && e.Ended.After(last) {
			last = e.Ended
		}
	}
	return last
}

// day is the day of a time on the premises.
func day(r *record.Record, at time.Time) time.Time {
	y, m, d := r.Local(at).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// NextNotSaid is a site file that does not say when the system is maintained next.
type NextNotSaid struct{}

// Code names it.
func (NextNotSaid) Code() string { return "next-not-said" }

func (a *Assessment) findNext() {
	if m := a.record.Site().Maintenance; !m.None && !m.Interval.Given() {
		a.limit(Finding{Subject: Subject{Part: PartVisit}, What: NextNotSaid{}})
	}
}
