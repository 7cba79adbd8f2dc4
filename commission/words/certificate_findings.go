package words

import "loopwitness/commission/judge"

// How findings stand on a certificate: how grave, what is the matter, what to do.

// Grade is a severity in one word.
type Grade judge.Severity

// Matter is what is the matter, without what to do.
type Matter struct{ Of judge.Finding }

// ToDo is what to do about a finding.
type ToDo struct{ Of judge.Finding }

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

// Code names the phrase.
func (g Grade) Code() string           { return "grade/" + string(g) }
func (Matter) Code() string            { return "certificate/matter" }
func (ToDo) Code() string              { return "certificate/to-do" }
func (DangerFirst) Code() string       { return "certificate/danger" }
func (Graded) Code() string            { return "certificate/graded" }
func (FindingsFigure) Code() string    { return "certificate/findings" }
func (LimitationsFigure) Code() string { return "certificate/limitations" }
