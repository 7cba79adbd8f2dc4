package words

import "loopwitness/commission/site"

// What a certificate says of papers, cables and what is fitted, and of how anything was looked at.

// The labels.
const (
	DesignLabel     Label = "design"
	AuthorityLabel  Label = "authority"
	ControlsLabel   Label = "controls"
	InterfacesLabel Label = "interfaces"
	FittedLabel     Label = "fitted"
	CablesLabel     Label = "cables"
	SiteFileLabel   Label = "site-file"
	KeptLabel       Label = "kept"
)

// The details.
const (
	FuseDetail    DetailKind = "fuse"
	CircuitDetail DetailKind = "circuit"
)

// The notes.
const (
	WorkNote    Note = "work"     // what was tested, inspected, serviced
	OwnZoneNote Note = "own-zone" // what proves a detector
)

// Fitted counts detectors and outputs by kind, in the order in which they are given.
type Fitted struct {
	Detectors []OfKind
	Outputs   []OfKind
}

// OfKind is how many there are of a kind: a site.DetectorKind or a site.OutputKind.
type OfKind struct {
	Kind Phrase
	N    int
}

// ZoneCable is the cable of a zone, as typed.
type ZoneCable struct {
	Type, Length, Conductor string
	Reused                  bool
}

// CablesReused is which zones have a cable of an older system, which have none, and of which the
// file does not say it.
type CablesReused struct{ Yes, No, Unsaid Zones }

// InPlaceOf is how a revision of a certificate, from 1, stands to those before it.
type InPlaceOf struct{ Revision int }

// FileHash is the beginning of the SHA-256 of the site file, in hexadecimal.
type FileHash struct{ Begins string }

// reusedZones are numbers of zones.
func reusedZones(of []*site.Zone) (all Zones) {
	for _, z := range of {
		all = append(all, z.Number)
	}
	return all
}

// CablesReusedOf is what a site file says of its cables.
func CablesReusedOf(s *site.Site) CablesReused {
	c := CablesReused{Yes: reusedZones(s.ReusedZones()), Unsaid: reusedZones(s.UnsaidZones())}
	for i := range s.Zones {
		if s.Reused(&s.Zones[i]) == site.SaidNo {
			c.No = append(c.No, s.Zones[i].Number)
		}
	}
	return c
}

// Code names the phrase.
func (Fitted) Code() string       { return "certificate/fitted" }
func (ZoneCable) Code() string    { return "certificate/zone-cable" }
func (CablesReused) Code() string { return "certificate/cables-reused" }
func (InPlaceOf) Code() string    { return "certificate/in-place-of" }
func (FileHash) Code() string     { return "certificate/file-hash" }
