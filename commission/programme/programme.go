package programme

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"loopwitness/commission/site"
)

// The steps that other parts of the program ask for by name.
const (
	IDVoltmeter      = "supply/voltmeter"
	IDCharged        = "supply/charged"
	IDMainsPresent   = "supply/mains-present"
	IDMainsOff       = "supply/mains-off"
	IDPath           = "supply/path"
	IDStandbyCurrent = "supply/standby-current"
	IDAlarmLoad      = "supply/alarm-load"
	IDAlarmCurrent   = "supply/alarm-current"
	IDFarVoltage     = "supply/far-voltage"
	IDMainsOn        = "supply/mains-on"
	IDMainsBack      = "supply/mains-back"
	IDRestart        = "supply/cold-restart"
	IDCharging       = "supply/charging"
	IDTechnician     = "sign-off/technician"
	IDCustomer       = "sign-off/customer"
)

// Of is the ordered steps of a visit at a site with its checklist.
func Of(s *site.Site, list Checklist) []Step {
	steps := cableSteps(s)
	steps = append(steps, checklistSteps(s, StageInspection, list.Inspection)...)
	s.Each(func(p site.Point, z *site.Zone, _ *site.Detector) {
		steps = append(steps,
			Step{ID: "walk/" + string(p), Stage: StageWalkTest, Kind: StepDetector, Point: p, Zone: z.Number})
	})
	steps = append(steps, lookSteps(s, list.Looks)...)
	steps = append(steps, supplySteps(s)...)
	steps = append(steps, outputSteps(s)...)
	steps = append(steps, alarmSteps(s)...)
	steps = append(steps, checklistSteps(s, StageHandOver, list.HandOver)...)
	steps = append(steps, chargingSteps(s)...) // meanwhile time has passed
	steps = append(steps, faultSteps(s)...)
	return append(steps, signSteps()...)
}

func checklistSteps(s *site.Site, stage Stage, items []Item) []Step {
	var steps []Step
	for _, item := range items {
		if item.concernsSite(s) {
			steps = append(
				steps,
				Step{ID: string(stage) + "/" + string(item.ID), Stage: stage, Kind: StepCheck, Item: item.ID, Text: item.Text,
					Value: item.Value, Optional: item.Optional},
			)
		}
	}
	return steps
}

func supplySteps(s *site.Site) []Step {
	in := func(id string, kind StepKind) Step { return Step{ID: id, Stage: StageSupply, Kind: kind} }
	if s.Supply.Battery.Chemistry == "none" {
		return []Step{in(IDVoltmeter, StepInstrument), in(IDMainsPresent, StepReading)}
	}
	steps := []Step{in(IDVoltmeter, StepInstrument), in(IDCharged, StepCharged), in(IDMainsPresent, StepReading)}
	steps = append(steps, batterySteps(s)...)
	steps = append(steps, in(IDMainsOff, StepAct), in(IDPath, StepPath))
	proofs := standbyProofs(s)
	for i, at := range s.Supply.Readings {
		r := in(fmt.Sprintf("%s%d", standbyStem, i+1), StepReading)
		r.AfterSeconds = at.Seconds()
		steps = append(steps, r)
		if i == 0 { // the hold time passes while detectors are proved again
			steps = append(steps, proofs...)
		}
	}
	steps = append(steps, loadSteps(s)...)
	restart := in(IDRestart, StepRestart)
	restart.Optional = true
	return append(steps, in(IDMainsOn, StepAct), in(IDMainsBack, StepReading), restart)
}

// standbyStem begins the names of those steps.
const standbyStem = "supply/standby-"

// IsStandby tells whether a step reads the supply without mains and without alarm load.
func IsStandby(id string) bool {
	_, err := strconv.Atoi(strings.TrimPrefix(id, standbyStem))
	return err == nil && strings.HasPrefix(id, standbyStem)
}

// loadSteps take what the system draws and gives at rest and with all that an alarm
// energises. Those under load stand together, so that it sounds once for them.
func loadSteps(s *site.Site) []Step {
	of := func(id string, load, optional bool) Step {
		return Step{ID: id, Stage: StageSupply, Kind: StepReading, Load: load, Optional: optional}
	}
	steps := []Step{of(IDStandbyCurrent, false, true)}
	if len(s.AlarmOutputs()) == 0 {
		return steps
	}
	steps = append(steps, of(IDAlarmLoad, true, false), of(IDAlarmCurrent, true, true))
	if farthest := s.Farthest(); farthest != "" {
		far := of(IDFarVoltage, true, true)
		far.Point = farthest
		steps = append(steps, far)
	}
	return steps
}

// recheckAfter is how long after mains was restored it is looked whether the battery is
// charging: a voltage read at once does not tell (*common practice, no source*).
const recheckAfter = 10 * time.Minute

// chargingSteps read the supply once more when mains has been back for a while. Where a
// converter stands before the battery, its voltage tells nothing; its own indication is
// looked at.
func chargingSteps(s *site.Site) []Step {
	if !s.Supply.Battery.Seen() {
		return nil
	}
	return []Step{{ID: IDCharging, Stage: StageHandOver, Kind: StepReading, AfterSeconds: recheckAfter.Seconds()}}
}

// standbyProofs takes one detector of each powered kind again while mains is
// removed; where none is powered, the first detector, so that reporting itself
// is proved.
func standbyProofs(s *site.Site) []Step {
	var steps []Step
	kinds := map[site.DetectorKind]bool{}
	prove := func(p site.Point, z *site.Zone) {
		steps = append(steps,
			Step{ID: "supply/proof-" + string(p), Stage: StageSupply, Kind: StepDetector, Point: p, Zone: z.Number})
	}
	s.Each(func(p site.Point, z *site.Zone, d *site.Detector) {
		if (d.Power != nil || d.Kind.Trait().Powered) && !kinds[d.Kind] {
			kinds[d.Kind] = true
			prove(p, z)
		}
	})
	if len(steps) == 0 {
		prove(site.PointOf(s.Zones[0].Number, 0), &s.Zones[0])
	}
	return steps
}

func outputSteps(s *site.Site) []Step {
	var steps []Step
	for _, o := range s.Outputs {
		if o.Kind != site.Chime || len(o.Follows) == 0 {
			steps = append(steps, Step{ID: "outputs/" + o.Name, Stage: StageOutputs, Kind: StepOutput, Output: o.Name})
			continue
		}
		for _, zone := range o.Follows {
			steps = append(
				steps,
				Step{ID: fmt.Sprintf("outputs/%s/zone-%d", o.Name, zone), Stage: StageOutputs, Kind: StepChime,
					Output: o.Name, Zone: zone, Point: site.PointOf(zone, 0)},
			)
		}
	}
	return steps
}

func signSteps() []Step {
	return []Step{
		{ID: IDTechnician, Stage: StageSignOff, Kind: StepSign, Role: Technician},
		{ID: IDCustomer, Stage: StageSignOff, Kind: StepSign, Role: Customer},
	}
}

// OfCurrent tells whether a reading is that of a current; all others are voltages.
func (s Step) OfCurrent() bool { return s.ID == IDStandbyCurrent || s.ID == IDAlarmCurrent }

// After is how long after mains was removed a reading is due, or after it was restored:
// see IDCharging.
func (s Step) After() time.Duration { return time.Duration(s.AfterSeconds * float64(time.Second)) }

// OnStandby tells whether a step proves something only while mains is removed.
func (s Step) OnStandby() bool {
	return s.Stage == StageSupply &&
		(s.Kind == StepDetector || s.Kind == StepReading && s.ID != IDMainsPresent && s.ID != IDMainsBack)
}
