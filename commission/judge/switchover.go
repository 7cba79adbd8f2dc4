package judge

import (
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// findSwitchOver lists what was lost of the connection while mains was removed. That it was lost
// at the switch-over for longer than a stall, or did not come back, is a controller that
// restarts, or a pack that does not hold; anything else limits. A later hold without a loss,
// watched for no less, shows that an interruption was of the link; against what was lost, it
// leaves a limitation. Where the path off the premises stayed on mains, that explains all.
func (a *Assessment) findSwitchOver() {
	path := a.record.Find(programme.IDPath)
	if path == nil || path.Result() == record.No {
		return
	}
	f := Finding{Step: programme.IDMainsOff, Subject: Subject{Part: PartSupply}}
	holds := a.record.Holds()
	var lost, lostOnce *record.Break
	var interruptions []record.Break
	for i, h := range holds {
		well := a.heldLater(h, holds[i+1:])
		for _, o := range a.lossesIn(h) {
			switch {
			case !ofSwitchOver(o, h):
				if !well {
					interruptions = append(interruptions, o)
				}
			case well && lostOnce == nil:
				lostOnce = &o
			case !well && lost == nil:
				lost = &o
			}
		}
	}
	said := func(o *record.Break) Statement { return SwitchOverLost{o.SinceOff.Round(time.Millisecond)} }
	switch {
	case lost != nil && path.Result() == record.Yes:
		f.What = said(lost)
		a.defect(f)
		return
	case lost != nil || lostOnce != nil:
		if lost == nil {
			lost = lostOnce
		}
		f.What = said(lost)
		a.limit(f)
		return
	case len(interruptions) > 0:
		all := time.Duration(0)
		for _, o := range interruptions {
			all += o.Lasted
		}
		f.What = ReportingInterrupted{all.Round(time.Millisecond)}
		a.limit(f)
	}
	seen := func(h record.Hold) bool { return !h.Unseen }
	if len(holds) > 0 && !slices.ContainsFunc(holds, seen) {
		f.What = SwitchOverUnseen{}
		a.limit(f)
	}
}

// lossesIn are the connections that were lost in a hold, without those for which this program is
// the cause.
func (a *Assessment) lossesIn(h record.Hold) []record.Break {
	return slices.DeleteFunc(a.record.Outages(), func(o record.Break) bool { return o.Own || !o.OffAt.Equal(h.From) })
}

// heldLater tells whether a later hold shows what a hold did not: no shorter, its switch-over
// watched, and nothing lost.
func (a *Assessment) heldLater(h record.Hold, later []record.Hold) bool {
	return slices.ContainsFunc(later, func(l record.Hold) bool {
		return !l.Unseen && l.Watched >= h.Watched && len(a.lossesIn(l)) == 0
	})
}

// ofSwitchOver tells whether a loss in a hold is one of the controller or its pack.
func ofSwitchOver(o record.Break, h record.Hold) bool {
	if checks.IsStall(o.Lasted) {
		return false
	}
	stayed := !o.Cut && (o.To.IsZero() || !h.To.IsZero() && o.To.After(h.To))
	return checks.AtSwitchOver(o.SinceOff) || stayed
}
