package record

import (
	"fmt"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const kindLooked = "looked"

// Looked tells that every line that was open of what is looked at of the detectors of a kind
// was as it should be: one answer for all of them. A line that somebody had begun to answer
// otherwise, or that asks for a value, is answered by itself. Nothing is so of a detector that
// was left out: its lines are left out with it, for the reason that stands there.
type Looked struct {
	Of site.DetectorKind `json:"of"`
}

// Kind names the entry.
func (Looked) Kind() string { return kindLooked }

// OpenLooks are the lines that Looked concludes.
func (r *Record) OpenLooks(kind site.DetectorKind) (open []*Outcome) {
	for _, o := range r.outcomes {
		valued := o.step.Value != "" && !o.step.Optional && !r.LeftOutAt(o.step.Point)
		if o.step.Look() && !o.settled && !valued && len(o.given) == 0 && programme.KindAt(r.site, o.step.Point) == kind {
			open = append(open, o)
		}
	}
	return open
}

func (r *Record) looked(e journal.Entry, l Looked) error {
	open := r.OpenLooks(l.Of)
	if len(open) == 0 {
		return refuse(LawFitsStep, fmt.Errorf("nothing is open of what is looked at of the kind %q", l.Of))
	}
	r.lapse()
	for _, o := range open {
		a := Answer{Step: o.step.ID, Result: Done}
		if r.LeftOutAt(o.step.Point) {
			a.Result = LeftOut
		}
		r.conclude(o, e, a)
		r.latestTaken = o
	}
	return nil
}

// LeftOutAt tells whether the walk-test left a detector out.
func (r *Record) LeftOutAt(p site.Point) bool {
	walk := r.index[programme.IDOfWalk(p)]
	return walk != nil && walk.settled && walk.Result() == LeftOut
}

// conclude answers a line that nobody was asked for by itself: no text of it can be corrected.
func (r *Record) conclude(o *Outcome, e journal.Entry, a Answer) {
	if o.answer != nil {
		o.earlier = append(o.earlier, *o.answer)
	}
	o.answer, o.answerEntry, o.bySignal = &a, 0, false
	r.settle(o, e)
}

// tampered lets a tamper signal answer that opening a device is reported, where no other
// device of its zone can have given it.
func (r *Record) tampered(e journal.Entry, z *site.Zone, s signal.Signal) {
	if s.State != signal.Tamper || s.Kept != "" || len(z.Detectors) != 1 || r.Listening().ByHand {
		return
	}
	o := r.index[programme.IDOfWalk(site.PointOf(z.Number, 0))+"/"+string(programme.TamperItem)]
	if o == nil || o.settled || o.step.Text != "" {
		return
	}
	r.conclude(o, e, Answer{Step: o.step.ID, Result: Done})
	o.bySignal = true
}
