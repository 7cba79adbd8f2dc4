package ask

import "loopwitness/commission/record"

// ToUndertake asks one thing about what is done about a finding.
type ToUndertake struct{ Ask Undertaking }

// Undertaking is what is asked.
type Undertaking string

// What is asked: each may be left out.
const (
	WhatUndertaking        Undertaking = "what"
	DayUndertaking         Undertaking = "day"
	WhoUndertaking         Undertaking = "who"
	LimitationsUndertaking Undertaking = "limitations" // that something is done about as well
)

// The answers to WhatUndertaking that are no action of one's own.
const (
	UsualAction = "+" // put right, and tested again
	AllLater    = "-" // nothing is said now, of this and all that follow
)

// UndertakenSo is what was undertaken about the finding of that number.
type UndertakenSo struct {
	ID         string
	Undertaken record.Undertaken
}

// Code names what it is about.
func (u ToUndertake) Code() string { return "undertake/" + string(u.Ask) }
func (UndertakenSo) Code() string  { return "undertaken" }
