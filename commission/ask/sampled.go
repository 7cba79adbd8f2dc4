package ask

import (
	"time"

	"loopwitness/commission/programme"
)

// MeasuredChoice is to measure by hand what the controller measured of itself.
const MeasuredChoice Choice = "measured"

// AsSampledChoice takes what the controller measured of itself when the reading was due.
type AsSampledChoice struct{ Volt string }

// TakenAsSampled tells that a reading that was due while nobody stood there was taken as
// the controller measured it of itself, so long after mains was removed.
type TakenAsSampled struct {
	Step  programme.Name
	Volt  string
	After time.Duration
}

// Code names it.
func (AsSampledChoice) Code() string { return "choice/as-sampled" }

// Code names it.
func (TakenAsSampled) Code() string { return "notice/taken-as-sampled" }

// Weight is how urgent it is.
func (TakenAsSampled) Weight() Weight { return Plain }
