// Package site holds what is fitted at the premises, as one YAML file says it:
// zones, detectors, outputs, supply, and the limits that readings are held
// against. Names and texts stay exactly as they were typed.
package site

import (
	"fmt"
	"strconv"
	"time"

	"loopwitness/checks"
)

// Site is one site file. Raw holds its exact bytes.
type Site struct {
	Raw         []byte
	Language    string // a tag of Languages, "" where the file names none
	Units       Units  // "" where the file names none: metric
	Paper       Paper  // of certificates
	Brand       Brand
	Reference   string
	Premises    Premises
	Customer    Person
	Installer   Installer
	Declared    Declared
	Monitoring  Monitoring
	Setting     Setting
	Insurer     string
	Further     Further
	Printed     []Printed
	Maintenance Maintenance
	Controller  Controller
	// CablesReused tells for the whole site whether cables are those of an older system.
	CablesReused Saying
	Agreed       []Agreed // in the order of the keys
	Zones        []Zone
	Outputs      []Output
	Supply       Supply
	Limits       Limits

	places map[Point]place // made by Read
}

// place is where a detector stands in Zones.
type place struct{ zone, detector int }

// Premises is where the system is.
type Premises struct{ Name, Address, Use, Part string }

// Person is somebody and how to reach them.
type Person struct{ Name, Contact string }

// Installer is who answers for the installation.
type Installer struct{ Company, Address, Phone, Licence string }

// Declared is what the installer declares the system to be. It is printed as
// typed and never judged.
type Declared struct{ Standard, Grade, Class, Departures string }

// Monitoring tells who receives the alarms. None tells that the file says nobody does.
type Monitoring struct {
	Centre, Account, Path string
	None                  bool
	Paths                 []Path
}

// Controller is the network-connected controller.
type Controller struct {
	Description, Location, Software, Connection string
	Current                                     checks.Quantity
	DetectorOutput                              checks.Quantity // A, the most that its supply for detectors gives
	AlarmOutput                                 checks.Quantity // A, the most for sounders and strobes together
}

// Zone is a detection circuit as numbered at the controller.
type Zone struct {
	Number          int
	Name, Area      string
	Kind            DetectorKind
	Wiring          Wiring
	EndOfLine       checks.Quantity
	ContactResistor checks.Quantity
	FaultResistor   checks.Quantity
	Tolerance       checks.Quantity // of the resistors, as a share
	Cable           *Cable          // nil where nothing is known of it
	Address         string          // under which the controller reports it
	Detectors       []Detector
}

// Cable is one cable, its length one way.
type Cable struct {
	Length    checks.Quantity
	Conductor checks.Conductor
	Type      string
	Reused    Saying // of an older system; Unsaid for what the site's own word says
}

// Detector is one device on a zone, operated on its own in the walk-test.
type Detector struct {
	Name, Location string
	Kind           DetectorKind // its own, or that of the zone
	Power          *Power       // nil for a plain contact
}

// Power is what a 12 V detector takes.
type Power struct {
	Current, Minimum, CableLength checks.Quantity
	Conductor                     checks.Conductor
	// After is the detector from which the same cable goes on to this one, "" for the
	// controller. The cable's length is then counted from there.
	After Point
}

// Output is a sounder, strobe or chime.
type Output struct {
	Name, Location string
	Kind           OutputKind
	Address        string // under which the controller energises it; "" by hand only
	Current        checks.Quantity
	OwnGiven       bool // the file says whether it has one
	OwnBattery     bool // it sounds from that; Current is what it takes at rest
	Level          checks.Quantity
	LevelAt        checks.Quantity // the distance of that level
	Frequency      checks.Quantity
	CutOff         checks.Quantity
	Follows        []int // zones that a chime follows
}

// OutputKind is what an output is.
type OutputKind string

// Code names the kind.
func (k OutputKind) Code() string { return "output/" + string(k) }

// The kinds of outputs.
const (
	Sounder OutputKind = "sounder"
	Strobe  OutputKind = "strobe"
	Chime   OutputKind = "chime"
)

// Supply is the mains-fed adapter and the standby battery behind it.
type Supply struct {
	Adapter  Adapter
	Charger  Charger
	Recharge Recharge
	Battery  Battery
	Standby  Standby
	Loads    []Load // beside controller, detectors and outputs
	// LoadsGiven tells that the file says what else is fed, be it nothing.
	LoadsGiven bool
	Hold       time.Duration // how long mains stays removed in the test
	// Temperature is the lowest that battery and cables are expected to have.
	Temperature checks.Quantity
	Readings    []time.Duration // when voltages are read in it, rising, the last at Hold
}

// Adapter is the mains-fed source: of direct current with a Rating in A, or of
// alternating current with its Apparent power in VA.
type Adapter struct {
	Rating   checks.Quantity
	Apparent checks.Quantity
	Voltage  checks.Quantity
	Location string
	Fuse     string // of the low voltage
	Circuit  string // of mains
}

// Charger is what charges the battery.
type Charger struct{ Voltage, Current checks.Quantity }

// Recharge is how soon the battery must be charged again, to what share, and by which
// rule.
type Recharge struct {
	Within, To checks.Quantity
	Source     string
}

// Load is something else that the supply feeds.
type Load struct {
	Name           string
	Current, Alarm checks.Quantity
}

// Form is how a battery stands in the supply.
type Form string

// The forms: on the charger's terminals, behind a converter, or a pack with charger and
// converter in one between adapter and controller.
const (
	Direct    Form = "direct"
	Converter Form = "converter"
	Inline    Form = "inline"
)

// Forms are those that a site file may name.
var Forms = []string{string(Direct), string(Converter), string(Inline)}

// Code names the form.
func (f Form) Code() string { return "form/" + string(f) }

// Battery is the standby battery.
type Battery struct {
	Chemistry  string
	Form       Form
	FormGiven  bool // the file says it, else Direct is taken
	Cells      int  // in series; 0 where the file does not say
	Capacity   checks.Quantity
	Energy     checks.Quantity
	HourRating checks.Quantity
	Exponent   checks.Quantity // Peukert's, as its data sheet implies
	Voltage    checks.Quantity // nominal
	Efficiency checks.Quantity // of its converter, 0 to 1
	Output     checks.Quantity // V, of its converter
	Resistance checks.Quantity // its first value, by two loads
	Life       checks.Quantity // its service life by its maker
	Fitted     string          // date as typed, 2026-11-24
	Location   string
}

// None is the chemistry of a site without a battery.
const None = "none"

// HasBattery tells whether there is a battery at all.
func (s *Supply) HasBattery() bool { return s.Battery.Chemistry != None }

// Seen tells whether the supply's terminals show the battery, not a converter.
func (b Battery) Seen() bool { return b.Chemistry != None && b.Form == Direct }

// Standby is what the installer requires of it, and by which rule.
type Standby struct {
	For, AlarmFor checks.Quantity
	Ageing        checks.Quantity // factor on the required capacity
	Source        string
}

// Point names a detector: the zone's number, a point, and its place on the
// zone, counted from 1.
type Point string

// PointOf is the name of detector i (from 0) on a zone.
func PointOf(zone, i int) Point { return Point(strconv.Itoa(zone) + "." + strconv.Itoa(i+1)) }

// Each calls do for every detector in the order of the file.
func (s *Site) Each(do func(Point, *Zone, *Detector)) {
	for z := range s.Zones {
		for d := range s.Zones[z].Detectors {
			do(PointOf(s.Zones[z].Number, d), &s.Zones[z], &s.Zones[z].Detectors[d])
		}
	}
}

// Find is the zone and detector of a point; an unknown point is an error.
func (s *Site) Find(p Point) (*Zone, *Detector, error) {
	at, known := s.places[p]
	if !known {
		return nil, nil, fmt.Errorf("the site has no detector %s", p)
	}
	return &s.Zones[at.zone], &s.Zones[at.zone].Detectors[at.detector], nil
}

// index makes Find quick.
func (s *Site) index() {
	s.places = map[Point]place{}
	for z := range s.Zones {
		for d := range s.Zones[z].Detectors {
			s.places[PointOf(s.Zones[z].Number, d)] = place{z, d}
		}
	}
}

// ZoneAt is the zone that the controller reports under an address, or nil.
func (s *Site) ZoneAt(address string) *Zone {
	for z := range s.Zones {
		if s.Zones[z].Address == address {
			return &s.Zones[z]
		}
	}
	return nil
}

// Zone is the zone of that number, or nil.
func (s *Site) Zone(number int) *Zone {
	for z := range s.Zones {
		if s.Zones[z].Number == number {
			return &s.Zones[z]
		}
	}
	return nil
}

// Output is the output of that name, or nil.
func (s *Site) Output(name string) *Output {
	for o := range s.Outputs {
		if s.Outputs[o].Name == name {
			return &s.Outputs[o]
		}
	}
	return nil
}

// Detectors counts them.
func (s *Site) Detectors() int {
	n := 0
	s.Each(func(Point, *Zone, *Detector) { n++ })
	return n
}

// HasPowered tells whether any detector takes power.
func (s *Site) HasPowered() bool {
	found := false
	s.Each(func(_ Point, _ *Zone, d *Detector) { found = found || d.Power != nil })
	return found
}

// Sounder is the first sounder of the site, or nil.
func (s *Site) Sounder() *Output {
	for i := range s.Outputs {
		if s.Outputs[i].Kind == Sounder {
			return &s.Outputs[i]
		}
	}
	return nil
}
