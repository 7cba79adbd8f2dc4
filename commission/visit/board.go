package visit

import (
	"slices"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// BoardOf is how every zone and detector of a record stands.
func BoardOf(r *record.Record) ask.Board {
	b := ask.Board{Site: r.Site().Premises.Name, Visit: r.Opened().Visit, Connected: r.Connected(),
		Deaf: r.Deaf()}
	next := r.Next()
	if _, trying := r.Trial(); trying != nil {
		next = trying
	}
	if next != nil {
		b.Stage = next.Step().Stage
		if next.Step().Kind == programme.StepDetector {
			b.Current = next.Step().Point
		}
	}
	if b.All, b.Open = r.Count(b.Stage); b.Stage == programme.StageWalkTest {
		b.All, b.Open = r.CountDetectors()
	}
	byZone := map[int][]*record.Outcome{}
	for _, o := range r.Outcomes() {
		if s := o.Step(); s.Stage == programme.StageWalkTest && s.Kind == programme.StepDetector {
			byZone[s.Zone] = append(byZone[s.Zone], o)
		}
	}
	zones := r.Site().Zones
	for i := range zones {
		z := &zones[i]
		zone := ask.BoardZone{Name: programme.NameOfZone(z), Area: z.Area, Kind: z.Kind, Now: r.StateOf(z.Address),
			Garbled: r.GarbledNow(z.Address)}
		for _, o := range byZone[z.Number] {
			_, d, err := r.Site().Find(o.Step().Point)
			if err != nil {
				continue // the fold has checked it
			}
			zone.Detectors = append(zone.Detectors, ask.BoardDetector{Point: o.Step().Point, Name: d.Name, Kind: d.Kind,
				Location: d.Location, Standing: standing(o), Verdict: verdictOf(o), Result: o.Result()})
		}
		b.Zones = append(b.Zones, zone)
	}
	return b
}

func verdictOf(o *record.Outcome) record.Verdict {
	if last := o.Last(); last != nil {
		return last.Verdict()
	}
	return ""
}

// standing is what is known of a detector. One that is taken again is open; one that failed has
// failed, also where it was left out then, as on the certificate.
func standing(o *record.Outcome) ask.Standing {
	verdict := verdictOf(o)
	switch {
	case verdict != "" && !verdict.Proves():
		return ask.FailedStanding
	case o.Result() == record.LeftOut:
		return ask.LeftOutStanding
	case o.Concluded() && verdict == record.Reported:
		return ask.ReportedStanding
	case o.Concluded() && verdict.Proves():
		return ask.ProvedStanding
	}
	return ask.OpenStanding
}

// boardEvery is how often a board is shown at most: what changes meanwhile is one change.
const boardEvery = 40 * time.Millisecond

// keepShowing shows the board whenever the record has changed, and tells a device which
// outputs are on, until it is stopped. Nothing waits for it.
func (v *Visit) keepShowing() (stop func()) {
	shower, shows := v.shower()
	device, is := v.device()
	if !shows && !is {
		return func() {}
	}
	var sounding []string
	show := func() {
		var board ask.Board
		var on []string
		_ = v.look(func(r *record.Record) {
			if on = r.Energised(); shows {
				board = BoardOf(r)
			}
		})
		if shows {
			shower.Board(board)
		}
		if is && !slices.Equal(on, sounding) {
			device.Sounding(on)
			sounding = on
		}
	}
	end := v.meanwhile("showing the board", func(over <-chan struct{}) {
		for {
			select {
			case <-v.renewed:
			case <-over:
				return
			}
			show()
			if !rest(boardEvery, over) {
				return
			}
		}
	})
	return func() {
		end()
		show() // how it ended
	}
}
