package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// What a certificate says of earlier visits. Times stand in the zone in which they are shown.

// EarlierVisit is an earlier visit whose record was taken in.
type EarlierVisit struct {
	Of    record.Earlier
	Begun time.Time
}

// ThenFound is what an earlier visit left outstanding, and since when.
type ThenFound struct{ Of judge.Then }

// CameOfIt is what came of that on this visit; By is who took it, "" before there is a name.
type CameOfIt struct {
	Of judge.OutstandingLine
	By string // as typed
	// Day is that of this visit, zero where it need not be said.
	Day time.Time
}

// ChangedSince names the visit since which the site file changed.
type ChangedSince struct{ Visit string }

// NothingChanged tells that nothing of it did.
type NothingChanged struct{ Visit string }

// MoreChanges are so many that are not listed.
type MoreChanges struct{ N int }

// Code names the phrase.
func (EarlierVisit) Code() string   { return "certificate/earlier-visit" }
func (ThenFound) Code() string      { return "certificate/then-found" }
func (CameOfIt) Code() string       { return "certificate/came-of-it" }
func (ChangedSince) Code() string   { return "certificate/changed-since" }
func (NothingChanged) Code() string { return "certificate/nothing-changed" }
func (MoreChanges) Code() string    { return "certificate/more-changes" }
