package programme

import (
	"fmt"

	"loopwitness/commission/site"
)

// The steps of the stage that measures reused cables, which others ask for by name.
const (
	IDIsolated = "cables/isolated"
	IDTester   = "cables/tester"
)

// The kinds of its steps.
const (
	StepIsolated StepKind = "isolated" // nothing but cable is connected, and mains is off
	StepTester   StepKind = "tester"   // what cables are measured with
	StepCable    StepKind = "cable"
)

// ItemApart is the line of a list that a cable runs apart from mains.
const ItemApart ItemCode = "cable-apart"

// cableSteps measure the cables of an older system before anything is connected to them. That
// each runs apart from mains is a list on one screen.
func cableSteps(s *site.Site) []Step {
	zones := s.ReusedZones()
	if len(zones) == 0 {
		return nil
	}
	steps := []Step{{ID: IDIsolated, Stage: StageCables, Kind: StepIsolated},
		{ID: IDTester, Stage: StageCables, Kind: StepTester}}
	for _, z := range zones {
		steps = append(steps,
			Step{ID: fmt.Sprintf("cables/zone-%d", z.Number), Stage: StageCables, Kind: StepCable, Zone: z.Number})
	}
	for _, z := range zones {
		steps = append(steps, Step{ID: fmt.Sprintf("cables/apart-%d", z.Number), Stage: StageCables, Kind: StepCheck,
			Item: ItemApart, Zone: z.Number})
	}
	return steps
}

// MeasuresCables tells whether a kind of visit takes the stage of reused cables: where a
// system is fitted or taken over. A retest takes of it what has to be taken again.
func (k VisitKind) MeasuresCables() bool { return k == Handover || k == TakeOver }
