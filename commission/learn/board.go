package learn

import (
	"maps"
	"slices"
	"sync"
	"time"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Board is how far a walk has come: the zones of the file and those that were learnt, which
// report nothing yet.
func (l *Learner) Board() ask.Board {
	zones, detectors := l.Learnt()
	b := ask.Board{Site: l.site.Premises.Name, Connected: true,
		Learnt: &ask.LearningStatus{Zones: zones, Detectors: detectors}}
	for i := range l.site.Zones {
		z := &l.site.Zones[i]
		zone := boardZone(z, ask.KnownStanding)
		for _, d := range l.more[z.Number] {
			zone.Detectors = append(zone.Detectors, boardDetector(z.Number, len(zone.Detectors), d, ask.LearntStanding))
		}
		b.Zones = append(b.Zones, zone)
	}
	for i := range l.zones {
		b.Zones = append(b.Zones, boardZone(&l.zones[i], ask.LearntStanding))
	}
	return b
}

func boardZone(z *site.Zone, standing ask.Standing) ask.BoardZone {
	zone := ask.BoardZone{Name: programme.NameOfZone(z), Area: z.Area, Kind: z.Kind}
	for i, d := range z.Detectors {
		zone.Detectors = append(zone.Detectors, boardDetector(z.Number, i, d, standing))
	}
	return zone
}

func boardDetector(zone, i int, d site.Detector, standing ask.Standing) ask.BoardDetector {
	return ask.BoardDetector{Point: site.PointOf(zone, i), Name: d.Name, Kind: d.Kind, Location: d.Location,
		Standing: standing}
}

// addresses are those of the zones of Board, in its order.
func (l *Learner) addresses() []string {
	var all []string
	for _, z := range l.site.Zones {
		all = append(all, z.Address)
	}
	for _, z := range l.zones {
		all = append(all, z.Address)
	}
	return all
}

// present is how a walk stands now, for who shows it: what reports is seen at once, also
// while a question stands.
type present struct {
	mu        sync.Mutex
	board     ask.Board
	addresses []string // of its zones
	last      map[string]signal.Signal
	cut       map[signal.Way]bool // the ears that hear nothing now; "" for the one source
	renewed   chan struct{}       // nil while nobody shows it
}

// sees takes what came.
func (p *present) sees(came any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch c := came.(type) {
	case signal.Signal:
		if p.last == nil {
			p.last = map[string]signal.Signal{}
		}
		if _, known := p.last[c.Address]; known || len(p.last) < mostAddresses {
			p.last[c.Address] = c
		}
	case signal.Connection:
		if p.cut == nil {
			p.cut = map[signal.Way]bool{}
		}
		if p.cut[c.Ear] = true; c.Up {
			delete(p.cut, c.Ear)
		}
	}
	p.changed()
}

// learnt takes what a walk has come to.
func (p *present) learnt(b ask.Board, addresses []string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.board, p.addresses = b, addresses
	p.changed()
}

func (p *present) changed() {
	select {
	case p.renewed <- struct{}{}:
	default: // it is known, or nobody shows it
	}
}

// now is the board with what each zone reports.
func (p *present) now() ask.Board {
	p.mu.Lock()
	defer p.mu.Unlock()
	b := p.board
	b.Connected, b.Deaf = len(p.cut) == 0, nil
	for _, ear := range slices.Sorted(maps.Keys(p.cut)) {
		if ear != "" {
			b.Deaf = append(b.Deaf, ear)
		}
	}
	b.Zones = append([]ask.BoardZone(nil), b.Zones...)
	for i := range b.Zones {
		s, has := p.last[p.addresses[i]]
		switch {
		case !has:
		case s.State == signal.NotUnderstood:
			b.Zones[i].Now, b.Zones[i].Garbled = s.State, s.Raw
		default:
			b.Zones[i].Now = s.State
		}
	}
	return b
}

// shows lets what was learnt be shown.
func (w *Walk) shows() { w.now.learnt(w.Learner.Board(), w.Learner.addresses()) }

// boardEvery is how often a board is shown at most: what changes meanwhile is one change.
const boardEvery = 40 * time.Millisecond

// KeepShowing shows how the walk stands whenever that has changed, to an operator that shows
// boards, until it is stopped: also while what comes after Run is asked.
func (w *Walk) KeepShowing() (stop func()) {
	shower, is := w.Operator.(ask.Shower)
	if !is {
		return func() {}
	}
	renewed, over, ended := make(chan struct{}, 1), make(chan struct{}), make(chan struct{})
	w.now.mu.Lock()
	w.now.renewed = renewed
	w.now.mu.Unlock()
	w.shows()
	go func() {
		defer close(ended)
		for {
			select {
			case <-renewed:
				shower.Board(w.now.now())
			case <-over:
				return
			}
			select {
			case <-time.After(boardEvery):
			case <-over:
				return
			}
		}
	}()
	return func() {
		close(over)
		<-ended
		shower.Board(w.now.now())
	}
}
