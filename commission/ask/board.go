package ask

import (
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Board is how every zone and detector stands, at a glance.
type Board struct {
	Site      string
	Visit     programme.VisitKind
	Stage     programme.Stage // in progress, "" for none
	Current   site.Point      // the detector whose turn it is, "" for none
	All, Open int             // steps of the stage
	Connected bool
	Deaf      []signal.Way // which of several ears hear nothing now
	// Learnt is how far a walk through a site has come that is no visit; nil for a visit.
	Learnt *LearningStatus
	Zones  []BoardZone
}

// BoardZone is a zone, and what it reports now.
type BoardZone struct {
	Name      programme.ZoneName
	Area      string
	Kind      site.DetectorKind
	Now       signal.State // signal.Unknown for nothing yet
	Garbled   string       // its last report, if it was not understood
	Detectors []BoardDetector
}

// BoardDetector is a detector, and how it stands.
type BoardDetector struct {
	Point    site.Point
	Name     string
	Kind     site.DetectorKind
	Location string
	Standing Standing
	Verdict  record.Verdict // of its last attempt, "" for none
	Result   record.Result  // that it was answered with, "" for none
}

// Standing is what is known of a detector.
type Standing string

// The standings.
const (
	OpenStanding     Standing = "open"     // nothing was tried
	ProvedStanding   Standing = "proved"   // reported in time, and restored
	ReportedStanding Standing = "reported" // reported, not timed
	FailedStanding   Standing = "failed"   // tried and not proved
	LeftOutStanding  Standing = "left-out" // not tested, with a reason
	LearntStanding   Standing = "learnt"   // reported while the site was learnt; no test
	KnownStanding    Standing = "known"    // stood in the site file before that
)

// What stands on a board, in words.
type (
	// ReportsNow is what a zone reports; Garbled is its last report, if it was not understood.
	ReportsNow struct {
		State   signal.State
		Garbled string
	}
	// StandsSo is how a detector stands. Its turn it is where Current.
	StandsSo struct {
		Standing Standing
		Verdict  record.Verdict // of its last attempt, "" for none
		Current  bool
	}
)

// Code names it.
func (ReportsNow) Code() string { return "board/reports" }
func (StandsSo) Code() string   { return "board/stands" }

// Code names it.
func (s Standing) Code() string { return "standing/" + string(s) }

// Shower is an Operator that shows the board while anything else goes on. Board must not
// wait; what it is told replaces what it was told before.
type Shower interface{ Board(Board) }
