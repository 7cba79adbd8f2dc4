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
	// Detector is set for detectors, Zone for chimes.
	Detector *DetectorName `json:"detector,omitempty"`
	Zone     *ZoneName     `json:"zone,omitempty"`
	Output   string        `json:"output,omitempty"`
	Item     ItemCode      `json:"item,omitempty"`
	Text     string        `json:"text,omitempty"` // of a company's own checklist
	Role     Role          `json:"role,omitempty"`
	// After is when a reading is due after mains was removed, in nanoseconds.
	After time.Duration `json:"after_ns,omitempty"`
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
		Role: step.Role, After: step.After()}
	switch step.Kind {
	case StepDetector:
		if z, d, err := s.Find(step.Point); err == nil {
			n.Detector = &DetectorName{step.Point, d.Name, NameOfZone(z), step.Stage == StageSupply}
		}
	case StepChime:
		if z := s.Zone(step.Zone); z != nil {
			zone := NameOfZone(z)
			n.Zone = &zone
		}
	}
	return n
}
