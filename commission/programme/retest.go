package programme

import (
	"slices"
	"strings"

	"loopwitness/commission/site"
)

// everyTime are the items that each attendance needs, whatever it takes again: alarms are
// sent, people hear them, and the system is left working.
var everyTime = map[ItemCode]bool{
	"on-test": true, "on-test-from": true, "people-told": true, "repaired": true,
	"repairs-told": true, "log-book": true, "normal": true, "off-test": true,
}

// leansOn are the steps of the supply and of reused cables, each with those that it means nothing without; the
// first row that fits counts. A name that ends in a star stands for all that begin so. What was removed is put back,
// and read then: these three belong together.
var leansOn = []struct {
	step string
	on   []string
}{
	{IDIsolated, nil},
	{IDTester, []string{IDIsolated}},
	{"cables/zone-*", []string{IDIsolated, IDTester}},
	{"cables/apart-*", nil},
	{IDVoltmeter, nil},
	{IDCharged, nil},
	{IDMainsPresent, []string{IDVoltmeter, IDCharged}},
	{IDBatteryOff, []string{IDBatteryOn}},
	{IDBatteryOn, []string{IDBatteryOff}},
	{IDBatteryFault, []string{IDBatteryOff}},
	{IDMainsFault, []string{IDMainsOff}},
	{IDMainsOff, []string{IDMainsOn, IDMainsBack}},
	{IDPath, nil},
	{IDStandbyCurrent, []string{IDMainsOff}},
	{"supply/standby-*", []string{IDVoltmeter, IDMainsOff}},
	{"supply/proof-*", []string{IDMainsOff}},
	{IDAlarmLoad, []string{IDVoltmeter, IDMainsOff}},
	{IDAlarmCurrent, []string{IDMainsOff}},
	{IDFarVoltage, []string{IDVoltmeter, IDMainsOff}},
	{IDMainsOn, []string{IDMainsOff, IDMainsBack}},
	{IDMainsBack, []string{IDVoltmeter, IDMainsOff, IDMainsOn}},
	{IDRestart, nil},
	{IDCharging, []string{IDVoltmeter, IDCharged, "supply/standby-1", IDMainsBack}}, // it rises from there
}

// supports are the steps that one leans on; a step of the supply that the table does not
// have leans on what a reading on standby does.
func supports(s Step) []string {
	if s.Kind == StepReceipt {
		return []string{IDAlarmIntrusion} // what is received is the alarm of this visit
	}
	if !strings.HasPrefix(s.ID, "supply/") && s.Stage != StageCables {
		return nil
	}
	for _, row := range leansOn {
		prefix, star := strings.CutSuffix(row.step, "*")
		if s.ID == row.step || star && strings.HasPrefix(s.ID, prefix) {
			return row.on
		}
	}
	return []string{IDVoltmeter, IDMainsOff}
}

// OfRetest is what a visit after repair takes: the steps that again names, what these
// lean on, and of the checklist what each attendance needs or what the earlier visit did
// not have. A detector that is taken again is looked at again. Items of the earlier list that
// are taken again stand as they stood there.
func OfRetest(s *site.Site, list Checklist, earlier []Step, again map[string]bool) []Step {
	var steps []Step
	whole := Whole(s, list)
	had, here := map[string]bool{}, map[string]bool{}
	for _, st := range earlier {
		had[st.ID] = true
	}
	for _, st := range whole {
		here[st.ID] = true
	}
	for _, st := range earlier {
		if st.Kind == StepCheck && st.Stage != StageCables && again[st.ID] && !here[st.ID] &&
			(!st.Look() || KindAt(s, st.Point) != "") {
			steps = append(steps, st)
		}
	}
	needed := NeededFor(whole, again)
	for _, st := range whole {
		switch {
		case st.Kind == StepSign, again[st.ID], len(needed[st.ID]) > 0,
			st.Look() && again[IDOfWalk(st.Point)],
			st.Kind == StepCheck && st.Stage != StageCables && !st.Look() && (everyTime[st.Item] || !had[st.ID]):
			steps = append(steps, st)
		}
	}
	return inStages(steps)
}

func inStages(steps []Step) []Step {
	place := func(s Step) int {
		at := 2 * slices.Index(Stages, s.Stage)
		if s.Look() { // behind the detectors
			at++
		}
		return at
	}
	slices.SortStableFunc(steps, func(a, b Step) int { return place(a) - place(b) })
	return steps
}

// NeededFor are the steps that those which again names lean on, directly or through
// others, each with the names of those that need it.
func NeededFor(whole []Step, again map[string]bool) map[string][]string {
	by := map[string]Step{}
	for _, st := range whole {
		by[st.ID] = st
	}
	needed := map[string][]string{}
	for _, st := range whole {
		if !again[st.ID] {
			continue
		}
		seen := map[string]bool{st.ID: true}
		for open := []Step{st}; len(open) > 0; open = open[1:] {
			for _, id := range supports(open[0]) {
				if on, there := by[id]; there && !seen[id] {
					seen[id] = true
					needed[id] = append(needed[id], st.ID)
					open = append(open, on)
				}
			}
		}
	}
	return needed
}
