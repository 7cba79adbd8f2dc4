package programme

import (
	"time"

	"loopwitness/commission/site"
)

// Name is what a step is called: a code, and what it is called after. Names of
// detectors, zones and outputs stand as they were typed.
type Name struct {
	Kind  StepKind `json:"kind"`
	ID    string   `json:"id"`
	Stage Stage    `json:"stage"`
	// Detector is set for detectors, for readings and lines of a list at one, Zone for chimes.
	Detector *DetectorName `json:"detector,omitempty"`
	Zone     *ZoneName     `json:"zone,omitempty"`
	Output   string        `json:"output,omitempty"`
	Group    site.Group    `json:"group,omitempty"`
	Item     ItemCode      `json:"item,omitempty"`
	Text     string        `json:"text,omitempty"` // of a company's own checklist
	Role     Role          `json:"role,omitempty"`
	Path     string        `json:"path,omitempty"` // of signalling
	// After is when a reading is due after mains was removed, in nanoseconds.
	After time.Duration `json:"after_nanosecond,omitempty"`
	// Said and Shown are what was outstanding: see Step.
	Said  string `json:"said,omitempty"`
	Shown string `json:"shown,omitempty"`
}

// Code names the kind of step.
func (n Name) Code() string { return "step/" + string(n.Kind) }

// ZoneName is what a zone is called.
type ZoneName struct {
	Number int    `json:"number"`
	Name   string `json:"name"`
}

// Code names it.
func (ZoneName) Code() string { return "zone" }

// NameOfZone is what a zone is called.
func NameOfZone(z *site.Zone) ZoneName { return ZoneName{z.Number, z.Name} }

// DetectorName is what a detector is called.
type DetectorName struct {
	Point     site.Point `json:"point"`
	Name      string     `json:"name"`
	Zone      ZoneName   `json:"zone"`
	OnStandby bool       `json:"on_standby,omitempty"` // proved again while mains is removed
}

// Code names it.
func (DetectorName) Code() string { return "detector" }

// NameOf is what a step of a visit at the site is called.
func NameOf(s *site.Site, step Step) Name {
	n := Name{Kind: step.Kind, ID: step.ID, Stage: step.Stage, Output: step.Output, Item: step.Item, Text: step.Text,
		Role: step.Role, Path: step.Path, After: step.After(), Group: step.Group, Said: step.Said, Shown: step.Shown}
	switch step.Kind {
	case StepCheck, StepFound: // of a detector, of a zone, or of the whole
		if z, d, err := s.Find(step.Point); err == nil {
			n.Detector = &DetectorName{Point: step.Point, Name: d.Name, Zone: NameOfZone(z)}
		} else if z := s.Zone(step.Zone); z != nil {
			zone := NameOfZone(z)
			n.Zone = &zone
		}
	case StepDetector, StepReading:
		if z, d, err := s.Find(step.Point); err == nil {
			n.Detector = &DetectorName{step.Point, d.Name, NameOfZone(z), step.Kind == StepDetector && step.Stage == StageSupply}
		}
	case StepChime, StepCable:
		if z := s.Zone(step.Zone); z != nil {
			zone := NameOfZone(z)
			n.Zone = &zone
		}
	}
	return n
}

// Operating is what a technician does to operate a kind of detector.
type Operating struct{ Kind site.DetectorKind }

// Restoring is what a technician does to let it go back to rest.
type Restoring struct{ Kind site.DetectorKind }

// Code names it.
func (o Operating) Code() string { return "operate/" + string(o.Kind) }

// Code names it.
func (r Restoring) Code() string { return "restore/" + string(r.Kind) }

// Hint tells a technician at the detector what the wiring should do. The resistors
// stand as they were typed.
type Hint struct {
	Wiring          site.Wiring `json:"wiring"`
	EndOfLine       string      `json:"end_of_line,omitempty"`
	ContactResistor string      `json:"contact_resistor,omitempty"`
	FaultResistor   string      `json:"fault_resistor,omitempty"`
}

// Code names it.
func (h Hint) Code() string { return "hint/" + string(h.Wiring) }

// HintOf is the hint of a zone.
func HintOf(z *site.Zone) Hint {
	return Hint{z.Wiring, z.EndOfLine.Text, z.ContactResistor.Text, z.FaultResistor.Text}
}
