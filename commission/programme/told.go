package programme

import (
	"slices"

	"loopwitness/commission/site"
)

// What is asked and written down as it was told: of the history of a system that is taken over,
// and of what happened before a visit after an alarm or a failure.
const (
	GroupHistory site.Group = "history"
	GroupEvent   site.Group = "event"
	GroupCause   site.Group = "cause"
)

// ToldKey is a value that is no key of the site file. Words are those that it takes where there
// are only these; Number tells that it is a whole number.
type ToldKey struct {
	Key    string
	Words  []string
	Number bool
}

// The words of ToldReal.
const (
	RealAlarm  = "real"
	FalseAlarm = "false"
	Failure    = "failure"
	Undecided  = "undecided"
)

// The keys whose answers mean something to others.
const (
	ToldReal  = "event.real"
	ToldCount = "event.false_alarms"
)

// told are the groups in the order in which they are asked, with their stage and the kinds of
// visits that ask for them.
var told = []struct {
	group site.Group
	stage Stage
	of    VisitKind
	keys  []ToldKey
}{
	{GroupHistory, StageInspection, TakeOver, []ToldKey{{Key: "history.by"}, {Key: "history.when"},
		{Key: "history.disconnected"}, {Key: "history.cable"}}},
	{GroupEvent, StageInspection, AfterAlarm, []ToldKey{{Key: "event.told"}, {Key: "event.when"}, {Key: "event.log"}}},
	{GroupCause, StageHandOver, AfterAlarm, []ToldKey{{Key: ToldReal,
		Words: []string{RealAlarm, FalseAlarm, Failure, Undecided}}, {Key: "event.cause"}, {Key: "event.done"},
		{Key: ToldCount, Number: true}, {Key: "event.informed"}}},
}

// ToldGroups are those that a kind of visit asks for.
func ToldGroups(kind VisitKind) (groups []site.Group) {
	for _, t := range told {
		if t.of == kind {
			groups = append(groups, t.group)
		}
	}
	return groups
}

// ToldKeys are the keys of a group; none of a part of the system.
func ToldKeys(group site.Group) []ToldKey {
	for _, t := range told {
		if t.group == group {
			return slices.Clone(t.keys)
		}
	}
	return nil
}

// IDExtent is the step of a visit after an alarm that says which detectors are concerned.
const IDExtent = "extent"

// toldSteps are the steps of the kinds that are asked for.
func toldSteps(kinds ...VisitKind) (steps []Step) {
	for _, t := range told {
		if slices.Contains(kinds, t.of) {
			steps = append(steps, Step{ID: "told/" + string(t.group), Stage: t.stage, Kind: StepFound, Group: t.group})
		}
	}
	if slices.Contains(kinds, AfterAlarm) {
		steps = append(steps, Step{ID: IDExtent, Stage: StageInspection, Kind: StepExtent})
	}
	return steps
}
