package words

import (
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// LooksHeading is the title of what was looked at of each detector.
const LooksHeading Heading = "looks"

// LooksNote says what these lines are, and of which detectors.
const LooksNote Note = "looks"

// ValueTyped is what was typed beside a line of a checklist.
type ValueTyped struct{ Text string }

// LooksStand is at how many detectors a line was as it should be; at BySignal of them a signal
// of the visit said so.
type LooksStand struct{ So, All, BySignal int }

// LooksBut are detectors at which a line has another answer than that it is so, "" for none;
// Remark is why, as typed.
type LooksBut struct {
	Result record.Result
	At     []site.Point
	Remark string
}

// LooksValue is what was typed beside a line at some detectors.
type LooksValue struct {
	Text string
	At   []site.Point
}

// Code names the phrase.
func (ValueTyped) Code() string { return "checklist/value" }
func (LooksStand) Code() string { return "looks/stand" }
func (l LooksBut) Code() string { return "looks/but/" + string(l.Result) }
func (LooksValue) Code() string { return "looks/value" }
