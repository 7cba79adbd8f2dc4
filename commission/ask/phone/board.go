package phone

import (
	"reflect"
	"slices"

	"loopwitness/commission/ask"
	"loopwitness/commission/programme"
)

// Board shows how every zone and detector stands. Of a board that is not the first, only
// the zones that have changed are said, and told, unless they are many.
func (s *Server) Board(b ask.Board) {
	s.mu.Lock()
	before := s.boarded
	said := s.board
	s.mu.Unlock()
	next := s.head(b)
	var changed []int
	next.Zones = make([]BoardZone, len(b.Zones))
	for i, z := range b.Zones {
		if said != nil && i < len(before.Zones) && reflect.DeepEqual(before.Zones[i], z) {
			next.Zones[i] = said.Zones[i]
			continue
		}
		next.Zones[i] = s.zone(z)
		changed = append(changed, i)
	}
	const few = 8
	b.Zones = slices.Clone(b.Zones)
	for i := range b.Zones {
		b.Zones[i].Detectors = slices.Clone(b.Zones[i].Detectors) // the caller may change its own
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.board, s.boarded = &next, b
	if said == nil || len(changed) > few || len(before.Zones) != len(b.Zones) || len(changed) == 0 {
		if said == nil || !reflect.DeepEqual(*said, next) {
			s.publish(EventBoard, next)
		}
		return
	}
	head := next
	head.Zones = nil
	for _, i := range changed {
		z := next.Zones[i]
		z.Of = &head
		s.publish(EventZone, z)
	}
}

// head is a board without its zones.
func (s *Server) head(b ask.Board) Board {
	said := Board{Site: b.Site, All: b.All, Open: b.Open, Current: string(b.Current), Connected: b.Connected}
	for _, ear := range b.Deaf {
		said.Gone = append(said.Gone, s.say.Say(ask.EarLost{Ear: ear}))
	}
	if b.Learnt != nil {
		said.Visit = s.say.Say(*b.Learnt)
		return said
	}
	said.Visit, said.Progress = s.say.Say(b.Visit), s.say.Say(ask.Progress{Done: b.All - b.Open, All: b.All})
	if b.Stage != "" {
		said.Stage = s.say.Say(b.Stage)
	}
	return said
}

func (s *Server) zone(z ask.BoardZone) BoardZone {
	said := BoardZone{Number: z.Name.Number, Name: s.say.Say(z.Name), Area: z.Area,
		State: string(z.Now), Says: s.say.Say(ask.ReportsNow{State: z.Now, Garbled: z.Garbled}),
		Detectors: []BoardDetector{}}
	if z.Kind != "" {
		said.Kind = s.say.Say(z.Kind)
	}
	for _, d := range z.Detectors {
		said.Detectors = append(said.Detectors, BoardDetector{Point: string(d.Point), Name: d.Name, Location: d.Location,
			Standing: string(d.Standing), Says: s.say.Say(ask.StandsSo{Standing: d.Standing, Verdict: d.Verdict}),
			Do: s.say.Say(programme.Operating{Kind: d.Kind}), Restore: s.say.Say(programme.Restoring{Kind: d.Kind}),
			Kind: string(d.Kind)})
	}
	return said
}

// standing is how a detector stands, by the board; "" where there is none of it.
func (s *Server) standing(p string) ask.Standing {
	for _, z := range s.boarded.Zones {
		for _, d := range z.Detectors {
			if string(d.Point) == p {
				return d.Standing
			}
		}
	}
	return ""
}
