package programme

import (
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// The steps of what the controller reports of its supply.
const (
	IDBatteryOff   = "supply/battery-off"
	IDBatteryOn    = "supply/battery-on"
	IDMainsFault   = "supply/mains-fault"
	IDBatteryFault = "supply/battery-fault"
)

// batterySteps disconnect the battery while mains is present, and connect it again: before
// mains is removed, so that what is measured then is of a battery that stayed connected. One
// that stands in a pack has no terminals to be taken off.
func batterySteps(s *site.Site) []Step {
	if !s.Supply.Battery.Seen() {
		return nil
	}
	return []Step{{ID: IDBatteryOff, Stage: StageSupply, Kind: StepAct},
		{ID: IDBatteryOn, Stage: StageSupply, Kind: StepAct}}
}

// faultSteps ask what came of both, as late as may be: a controller may take minutes to
// report a fault, and to clear it, and nobody waits for that.
func faultSteps(s *site.Site) []Step {
	if s.Supply.Battery.Chemistry == site.None {
		return nil
	}
	steps := []Step{{ID: IDMainsFault, Stage: StageHandOver, Kind: StepFault}}
	if s.Supply.Battery.Seen() {
		steps = append(steps, Step{ID: IDBatteryFault, Stage: StageHandOver, Kind: StepFault})
	}
	return steps
}

// Aspect is what a step about a fault is told by, "" for any other.
func (s Step) Aspect() signal.Aspect {
	switch s.ID {
	case IDMainsFault:
		return signal.MainsFault
	case IDBatteryFault:
		return signal.BatteryFault
	}
	return ""
}
