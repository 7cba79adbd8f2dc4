package words

import (
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// How cues were given and times were taken with a phone.

// CuesGiven is how it was told when detectors were to be operated, and what that does to times.
type CuesGiven struct{ Of judge.Cues }

// TimedFrom is a response that was timed from a touch or a count, with a mark of which.
type TimedFrom struct {
	By     record.TapBy
	Second float64
}

// CueMarks explain what stands in a table of detectors: marks of touches and counts, and
// times that were not taken.
type CueMarks struct{ Touched, Counted, NotTimed bool }

// Devices are the phones that the technician answered with, as they describe themselves.
type Devices struct{ Of []string }

// TouchedAt is the instant of a touch on the premises, to the millisecond.
type TouchedAt struct{ At time.Time }

// Between are bounds of a quantity, in its unit.
type Between struct {
	From, To float64
	Decimals int
}

// Code names the phrase.
func (CuesGiven) Code() string { return "certificate/cues" }
func (TimedFrom) Code() string { return "certificate/timed-from" }
func (CueMarks) Code() string  { return "certificate/cue-marks" }
func (Devices) Code() string   { return "certificate/devices" }
func (TouchedAt) Code() string { return "certificate/touched" }
func (Between) Code() string   { return "certificate/between" }
