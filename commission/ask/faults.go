package ask

import (
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// The choices of what became of a fault of the supply.
const (
	AtControllerChoice Choice = "at-controller" // shown there, and gone again
	AtCentreChoice     Choice = "at-centre"     // received there, and its end as well
	NotClearedChoice   Choice = "not-cleared"   // shown, and there still
	NotSeenChoice      Choice = "not-seen"
)

// The choices of what shows that a battery charges, where nothing was measured.
const (
	ChargesChoice      Choice = "charges"       // by the indication
	ChargesNotChoice   Choice = "charges-not"   // by it
	NoIndicationChoice Choice = "no-indication" // or none was looked at
)

// ChargesMatter asks for that indication.
const ChargesMatter Matter = "charges"

// FaultAdvice tells what is asked about a fault of the supply.
const FaultAdvice Advice = "fault"

type (
	// FaultAwaited waits until the controller reports a fault, or its end.
	FaultAwaited struct {
		Aspect  signal.Aspect
		Present bool
	}
	// FaultStatus is how long it is since the cause was made, or ended, and how long it is
	// waited for.
	FaultStatus struct{ Since, Most time.Duration }
	// FaultTold tells that the controller reported a fault, or its end, and how long after its
	// cause was said to be made, or ended. Early: before that; Kept: at some time before.
	FaultTold struct {
		Aspect      signal.Aspect
		Present     bool
		After       time.Duration
		Early, Kept bool
	}
	// FaultNotTold tells that the controller has not reported it.
	FaultNotTold struct {
		Aspect  signal.Aspect
		Present bool
	}
	// BatteryMayBeOff tells that it was disconnected before a break.
	BatteryMayBeOff struct{}
	// BatteryStillOff tells that it must not be forgotten.
	BatteryStillOff struct{}
	// NotBoth tells that a step comes first: mains and battery are never off together.
	NotBoth struct{ First programme.Name }
)

// Code names what is waited for.
func (FaultAwaited) Code() string { return "fault-awaited" }

// Code names how it stands.
func (FaultStatus) Code() string { return "status/fault" }

// Code names what is told.
func (FaultTold) Code() string       { return "notice/fault-told" }
func (FaultNotTold) Code() string    { return "notice/fault-not-told" }
func (BatteryMayBeOff) Code() string { return "notice/battery-may-be-off" }
func (BatteryStillOff) Code() string { return "notice/battery-still-off" }
func (NotBoth) Code() string         { return "notice/not-both" }

// Weight is how urgent it is.
func (FaultTold) Weight() Weight       { return Plain }
func (FaultNotTold) Weight() Weight    { return Caution }
func (BatteryMayBeOff) Weight() Weight { return Caution }
func (BatteryStillOff) Weight() Weight { return Alarm }
func (NotBoth) Weight() Weight         { return Caution }
