package ask

import (
	"time"

	"loopwitness/commission/signal"
)

// How a wait stands.
type (
	// TrialStatus is how long it is after the cue. State is what the zone reported last,
	// signal.Unknown for nothing yet, and After when.
	TrialStatus struct {
		Since, ListenFor, Limit time.Duration
		State                   signal.State
		After                   time.Duration
		Raw                     string // of a report that is not understood
	}
	// ListenStatus is how long a chime has been listened for.
	ListenStatus struct{ Since, ListenFor time.Duration }
	// RestartStatus is how long it is after power was given back.
	RestartStatus struct{ Since, Limit time.Duration }
	// SoundingStatus is how long an output has been on, and how long it is waited for.
	SoundingStatus struct{ Since, Most time.Duration }
	// LeftStatus is how long it is until a reading is due.
	LeftStatus struct{ Left time.Duration }
)

// Code names the status.
func (TrialStatus) Code() string    { return "status/trial" }
func (ListenStatus) Code() string   { return "status/listen" }
func (RestartStatus) Code() string  { return "status/restart" }
func (LeftStatus) Code() string     { return "status/left" }
func (SoundingStatus) Code() string { return "status/sounding" }
