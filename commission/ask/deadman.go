package ask

import (
	"time"

	"loopwitness/commission/site"
)

// What becomes of an output if this program is gone.
type (
	// NobodyGuards tells what a crash would leave on.
	NobodyGuards struct {
		Output string
		Why    error // nil where there is no more to say of it
	}
	// ByHandOnly tells that only the technician can switch an output off.
	ByHandOnly struct{ Output string }
	// GuardLost tells that who would have switched it off is gone; it is switched off.
	GuardLost struct {
		Output string
		Why    error
	}
	// MayBeOnByHand tells that nobody said that it was switched off.
	MayBeOnByHand struct{ Output string }
	// TriedFor tells how long it is tried to switch it off before the program ends.
	TriedFor struct {
		Output string
		Most   time.Duration
	}
	// LeftOn is the last word of a program that leaves an output on. Within is how soon
	// somebody else switches it off, 0 if nobody does. Unsure: it was switched by hand, or
	// by an earlier run, and may be off. Late: its command on was not confirmed, and may be carried out
	// after the command off.
	LeftOn struct {
		Output, Location string
		Kind             site.OutputKind
		Within           time.Duration
		Unsure, Late     bool
	}
	// EnergiseUnguarded asks whether outputs are energised that a crash would leave on.
	EnergiseUnguarded struct{ Outputs []string }
)

// Code names it.
func (NobodyGuards) Code() string      { return "notice/nobody-guards" }
func (ByHandOnly) Code() string        { return "notice/by-hand-only" }
func (GuardLost) Code() string         { return "notice/guard-lost" }
func (MayBeOnByHand) Code() string     { return "notice/may-be-on-by-hand" }
func (TriedFor) Code() string          { return "notice/tried-for" }
func (LeftOn) Code() string            { return "notice/left-on" }
func (EnergiseUnguarded) Code() string { return "matter/energise-unguarded" }

// Weight is how urgent the notice is.
func (NobodyGuards) Weight() Weight  { return Caution }
func (ByHandOnly) Weight() Weight    { return Plain }
func (GuardLost) Weight() Weight     { return Alarm }
func (MayBeOnByHand) Weight() Weight { return Alarm }
func (TriedFor) Weight() Weight      { return Caution }
func (LeftOn) Weight() Weight        { return Alarm }
