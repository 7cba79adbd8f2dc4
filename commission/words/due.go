package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What calendars and lists say of what is due.
type (
	// DueVisit is the next visit to a system.
	DueVisit struct{ Premises, Reference string }
	// DueMatter is what was undertaken about a finding.
	DueMatter struct {
		Premises string
		Of       judge.Finding
	}
	// DueBattery is a battery whose life ends.
	DueBattery struct{ Premises string }
	// DueMeter is an instrument whose calibration ends.
	DueMeter struct{ Name string }
	// CountedFrom tells from which visit the next is counted; From is zero for none.
	CountedFrom struct {
		Maintenance site.Maintenance
		Kind        programme.VisitKind
		From        time.Time
	}
	// InHand is what was undertaken about a finding, "" for nothing.
	InHand struct {
		Action record.Action
		By     time.Time
		Who    string
	}
	// GradesCounted are how many findings and limitations are outstanding, by severity.
	GradesCounted struct{ Dangers, Faults, Advice int }
)

// Code names the phrase.
func (DueVisit) Code() string      { return "due/visit" }
func (DueMatter) Code() string     { return "due/matter" }
func (DueBattery) Code() string    { return "due/battery" }
func (DueMeter) Code() string      { return "due/meter" }
func (CountedFrom) Code() string   { return "due/counted-from" }
func (InHand) Code() string        { return "due/in-hand" }
func (GradesCounted) Code() string { return "due/grades" }
