package words

import (
	"loopwitness/commission/judge"
)

// NextDue says when the next visit is due, on a certificate and on the screen.
type NextDue struct{ Of judge.NextVisit }

// Code names the phrase.
func (NextDue) Code() string { return "certificate/next" }

// NextLabel stands before it.
const NextLabel Label = "next-visit"
