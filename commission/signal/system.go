package signal

import (
	"fmt"
	"slices"
	"time"
)

// System is what the controller reported of itself, stamped the moment it arrived: that
// one of its aspects is present, or is no longer.
type System struct {
	// At is the instant of arrival, as that of a Signal.
	At      time.Time `json:"-"`
	Aspect  Aspect    `json:"aspect"`
	Present bool      `json:"present"`
	Kept    string    `json:"kept,omitempty"` // as of a Signal
	Raw     string    `json:"raw,omitempty"`  // the payload, shortened
	Ear     Way       `json:"ear,omitempty"`  // that heard it, where there are several
}

// Kind names the entry of a journal.
func (System) Kind() string { return "system" }

// Aspect is a thing that a controller tells of itself.
type Aspect string

// The aspects.
const (
	Setting      Aspect = "setting" // the exit time runs
	Set          Aspect = "set"
	Entering     Aspect = "entering" // the entry time runs
	Alarm        Aspect = "alarm"
	Confirmed    Aspect = "confirmed" // an alarm by a second detector
	MainsFault   Aspect = "mains-fault"
	BatteryFault Aspect = "battery-fault"
)

// Aspects are all of them.
var Aspects = []Aspect{Setting, Set, Entering, Alarm, Confirmed, MainsFault, BatteryFault}

// Code names the aspect.
func (a Aspect) Code() string { return "aspect/" + string(a) }

// Check tells whether an aspect or reason is none that is known.
func (s System) Check() error {
	if !slices.Contains(Aspects, s.Aspect) || !slices.Contains(kept, s.Kept) {
		return fmt.Errorf("system: aspect %q, kept %q", s.Aspect, s.Kept)
	}
	return nil
}

// SystemReceiver is a Receiver that takes these, too, delivered in their order among the
// signals; a Source says in its Listening which aspects it delivers.
type SystemReceiver interface{ System(System) }
