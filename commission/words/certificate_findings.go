package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// How findings stand on a certificate: how grave, what is the matter, what to do.

// Grade is a severity in one word.
type Grade judge.Severity

// Matter is what is the matter, without what to do.
type Matter struct{ Of judge.Finding }

// ToDo is what to do about a finding, and what was undertaken, nil for nothing.
type ToDo struct {
	Of         judge.Finding
	Undertaken *record.Undertaken
}

// DangerFirst is a danger as the first line of a certificate.
type DangerFirst struct{ Of judge.Finding }

// Graded counts findings by severity.
type Graded struct{ Dangers, Faults, Advice int }

// FindingsFigure labels the number of findings.
type FindingsFigure struct {
	N  int
	Of Graded
}

// LimitationsFigure labels the number of limitations.
type LimitationsFigure struct{ N int }

// CorrectedText is a text that was corrected later. Of is the step that it stands at, nil
// for none.
type CorrectedText struct {
	Correction record.Correction
	Of         *programme.Name
	At         time.Time
}

// SiteFileChanged is a change of the site file during the visit, with the steps that were
// opened again for it and those that it gives no more.
type SiteFileChanged struct {
	At             time.Time
	Again, Removed []programme.Name
}

// VisitSetAside is why a visit was set aside, and by whom.
type VisitSetAside struct {
	Reason, By string
	At         time.Time
}

// Code names the phrase.
func (CorrectedText) Code() string     { return "certificate/corrected" }
func (SiteFileChanged) Code() string   { return "certificate/site-changed" }
func (VisitSetAside) Code() string     { return "certificate/set-aside" }
func (g Grade) Code() string           { return "grade/" + string(g) }
func (Matter) Code() string            { return "certificate/matter" }
func (ToDo) Code() string              { return "certificate/to-do" }
func (DangerFirst) Code() string       { return "certificate/danger" }
func (Graded) Code() string            { return "certificate/graded" }
func (FindingsFigure) Code() string    { return "certificate/findings" }
func (LimitationsFigure) Code() string { return "certificate/limitations" }
