package site

// Saying is whether a site file says something, and what.
type Saying string

// What it may say.
const (
	Unsaid   Saying = ""
	SaidYes  Saying = "yes"
	SaidNo   Saying = "no"
	reusedIn        = "reused"
)

// Reused is whether a zone's cable is that of an older system: its own word, or that for the
// whole site.
func (s *Site) Reused(z *Zone) Saying {
	if z.Cable != nil && z.Cable.Reused != Unsaid {
		return z.Cable.Reused
	}
	return s.CablesReused
}

// ReusedZones are the zones whose cable is reused, in the order of the file.
func (s *Site) ReusedZones() []*Zone {
	var zones []*Zone
	for i := range s.Zones {
		if s.Reused(&s.Zones[i]) == SaidYes {
			zones = append(zones, &s.Zones[i])
		}
	}
	return zones
}

// UnsaidZones are those of which the file does not say it.
func (s *Site) UnsaidZones() []*Zone {
	var zones []*Zone
	for i := range s.Zones {
		if s.Reused(&s.Zones[i]) == Unsaid {
			zones = append(zones, &s.Zones[i])
		}
	}
	return zones
}

// reused reads whether cables are those of an older system.
func (r *reader) reused(f section) Saying { return Saying(r.mayBeOneOf(f, reusedIn, string(Unsaid))) }
