package record

import (
	"errors"
	"slices"
	"time"

	"loopwitness/commission/signal"
)

// Tap is a touch, or the end of a count, by the clock of a device of its own, and between
// which bounds this run's clock is ahead of that: no symmetry of the network is assumed
// (RFC 5905: the truth lies in [T3 − T4, T2 − T1] of each exchange). All in nanoseconds.
type Tap struct {
	DeviceNS   int64 `json:"device_nanosecond"`
	EarliestNS int64 `json:"offset_least_nanosecond"`
	LatestNS   int64 `json:"offset_most_nanosecond"`
	By         TapBy `json:"by"`
}

// TapBy is what a cue was given by.
type TapBy string

// The ways of giving a cue with a device.
const (
	ByTouch TapBy = "touch" // the technician touched it
	ByCount TapBy = "count" // it counted down, and the technician followed
)

// Code names it.
func (b TapBy) Code() string { return "tap/" + string(b) }

// At is the instant of the touch on the clock of the run, and how well that is known,
// expanded (k = 2): half of the bounds.
func (t Tap) At() (elapsed, uncertainty time.Duration) {
	half := (t.LatestNS - t.EarliestNS) / 2
	return time.Duration(t.DeviceNS + t.EarliestNS + half), time.Duration(half + (t.LatestNS-t.EarliestNS)%2)
}

// uncertainty is that of a response to the cue, expanded (k = 2).
func (c Cue) uncertainty(l signal.Listening) time.Duration {
	person := int64(0)
	if c.Tap != nil {
		person = TapPerson.Nanoseconds()
	}
	return combined(l.UncertaintyNS, c.UncertaintyNS, person)
}

const (
	// WidestTap is how far apart the bounds of a clock may be, each way, for a touch to
	// time anything: what is known worse is not timed.
	WidestTap = 250 * time.Millisecond
	// TapPerson is by how much a person misses the instant at which they operate what they
	// touch for, or count to, expanded (k = 2): 0.14 s for a touch in step with a count, its
	// delay in the device included (spread of 50 ms; Repp 2005, Deber et al. 2016), rounded up.
	TapPerson = 200 * time.Millisecond
)

// Check refuses bounds that are none.
func (t Tap) Check() error {
	const most = int64(400 * 24 * time.Hour)
	switch {
	case !slices.Contains([]TapBy{ByTouch, ByCount}, t.By):
		return errors.New("tap: given by " + string(t.By))
	case t.LatestNS < t.EarliestNS, max(t.DeviceNS, t.LatestNS) > most, min(t.DeviceNS, t.EarliestNS) < -most:
		return errors.New("tap: bounds that are none")
	case t.LatestNS-t.EarliestNS > 2*int64(WidestTap):
		return errors.New("tap: bounds too far apart")
	}
	return nil
}

// Untimed is why a trial says that something was reported and not how fast.
type Untimed string

// The reasons.
const (
	NoTouch      Untimed = "no-touch"      // nobody said when it was operated
	OwnTime      Untimed = "own-time"      // restored when the technician liked
	ClockUnknown Untimed = "clock-unknown" // of the device: after sleep, or never compared
	ClockWide    Untimed = "clock-wide"    // it is known too badly
	StampedLate  Untimed = "stamped-late"  // the program did not run for a moment
)

var untimed = []Untimed{NoTouch, OwnTime, ClockUnknown, ClockWide, StampedLate}

// WhyUntimed are all of them.
func WhyUntimed() []Untimed { return slices.Clone(untimed) }

// Code names it.
func (u Untimed) Code() string { return "untimed/" + string(u) }
