package programme

import (
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"

	"loopwitness/commission/site"
)

// VisitKind is the reason of a visit.
type VisitKind string

// The kinds of visits.
const (
	Handover    VisitKind = "handover"
	Maintenance VisitKind = "maintenance"
	Retest      VisitKind = "retest"
	TakeOver    VisitKind = "take-over"   // of a system that somebody else installed
	AfterAlarm  VisitKind = "after-alarm" // or after a failure
)

// VisitKinds are all kinds, as commands take them.
var VisitKinds = []VisitKind{Handover, Maintenance, Retest, TakeOver, AfterAlarm}

// Stage is a part of the visit that can be left and entered again.
type Stage string

// The stages, in their order.
const (
	StageCables     Stage = "cables" // of an older system, before anything is connected
	StageInspection Stage = "inspection"
	StageWalkTest   Stage = "walk-test"
	StageSupply     Stage = "supply"
	StageOutputs    Stage = "outputs"
	StageAlarm      Stage = "alarm" // one, from end to end
	StageHandOver   Stage = "hand-over"
	StageSignOff    Stage = "sign-off"
)

// Stages are all stages in their order.
var Stages = []Stage{StageCables, StageInspection, StageWalkTest, StageSupply, StageOutputs, StageAlarm, StageHandOver,
	StageSignOff}

// StepKind is what a step asks for.
type StepKind string

// The kinds of steps.
const (
	StepCheck      StepKind = "check"      // an item of a checklist
	StepDetector   StepKind = "detector"   // operate and restore
	StepInstrument StepKind = "instrument" // what readings are taken with
	StepReading    StepKind = "reading"
	StepAct        StepKind = "act"     // something to do, then say so
	StepCharged    StepKind = "charged" // whether the battery has been on charge
	StepFault      StepKind = "fault"   // whether a fault of the supply was reported, and cleared
	StepPath       StepKind = "path"    // whether the path off site is on standby too
	StepOutput     StepKind = "output"
	StepChime      StepKind = "chime"
	StepRestart    StepKind = "restart"
	StepSign       StepKind = "sign"
	StepExtent     StepKind = "extent" // which detectors are concerned
	StepFound      StepKind = "found"  // what the site file does not say, of a part of the system

	// Of one alarm from end to end:
	StepSetting   StepKind = "setting"   // set the system and walk out
	StepEntry     StepKind = "entry"     // walk in and unset it
	StepIntrusion StepKind = "intrusion" // raise an alarm
	StepReceipt   StepKind = "receipt"   // of a signalling path, as the centre says
)

// Step is one step of a programme. Which of the further fields are set depends
// on its kind.
type Step struct {
	ID    string   `json:"id"`
	Stage Stage    `json:"stage"`
	Kind  StepKind `json:"kind"`
	// Item names a line of a checklist; Text is what a company's own list says there,
	// as typed.
	Item   ItemCode   `json:"item,omitempty"`
	Text   string     `json:"text,omitempty"`
	Role   Role       `json:"role,omitempty"` // of who signs
	Point  site.Point `json:"point,omitempty"`
	Output string     `json:"output,omitempty"`
	Zone   int        `json:"zone,omitempty"`
	Group  site.Group `json:"group,omitempty"` // of what is to be found
	// AfterSeconds is when a reading is due after mains was removed, or after it was
	// restored; Load tells that all that an alarm energises must be on for it.
	AfterSeconds float64 `json:"after_second,omitempty"`
	Load         bool    `json:"load,omitempty"`
	Optional     bool    `json:"optional,omitempty"`
	// Said is what an earlier visit left outstanding, its codes and arguments, and Shown
	// how that was said then: see StepOutstanding.
	Said  string `json:"said,omitempty"`
	Shown string `json:"shown,omitempty"`
	// Value is what a line of a checklist asks to be typed beside it, "" for nothing; where it
	// is Optional, nothing needs to be.
	Value ValueKind `json:"value,omitempty"`
	Path  string    `json:"path,omitempty"` // of signalling, as the site file calls it
}

// ValueKind is what is typed beside a line of a checklist.
type ValueKind string

// The kinds of values.
const (
	TextValue ValueKind = "text"
	TimeValue ValueKind = "time" // of the day, 14:05
	DateValue ValueKind = "date" // year-month-day
)

// ValueKinds are all of them, as a checklist file may name them.
var ValueKinds = []string{string(TextValue), string(TimeValue), string(DateValue)}

// Check says why a text is no value of the kind, nil if it is one.
func (k ValueKind) Check(text string) error {
	switch k {
	case TimeValue:
		if _, err := time.Parse(ClockLayout, text); err != nil {
			return fmt.Errorf("%q is no time of the day, such as 14:05", text)
		}
	case DateValue:
		if _, err := time.Parse(time.DateOnly, text); err != nil {
			return fmt.Errorf("%q is no day, such as 2027-03-01", text)
		}
	case TextValue:
		if !strings.ContainsFunc(text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsNumber(r) }) {
			return errors.New("it cannot be left out")
		}
	default:
		return errors.New("nothing is typed there")
	}
	return nil
}

// ClockLayout is how a time of the day is written.
const ClockLayout = "15:04"

// Look tells whether a step is a line of what is looked at of a detector.
func (s Step) Look() bool { return s.Kind == StepCheck && s.Point != "" }

// Role is whose name stands under a visit.
type Role string

// The roles.
const (
	Technician Role = "technician"
	Customer   Role = "customer"
)

// Code names the role.
func (r Role) Code() string { return string(r) }

// Code names the stage.
func (s Stage) Code() string { return string(s) }

// Code names the kind.
func (k VisitKind) Code() string { return string(k) }

// ItemCode names a line of a checklist. Those of our own lists have their sentence in
// each language.
type ItemCode string

// Code names the item.
func (c ItemCode) Code() string { return string(c) }
