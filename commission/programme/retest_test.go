package programme

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func named(names []string) map[string]bool {
	set := map[string]bool{}
	for _, n := range names {
		set[n] = true
	}
	return set
}

// Each step of the supply, taken again, brings what it means nothing without, and no
// more: a reading on standby needs mains removed, and what was removed is put back and
// read.
func TestWhatEachStepOfTheSupplyLeansOn(t *testing.T) {
	s := read(t, whole)
	mains := []string{IDVoltmeter, IDMainsOff, IDMainsOn, IDMainsBack}
	for _, tc := range []struct {
		again []string
		steps []string
	}{
		{[]string{IDVoltmeter}, []string{IDVoltmeter}},
		{[]string{IDCharged}, []string{IDCharged}},
		{[]string{IDMainsPresent}, []string{IDVoltmeter, IDCharged, IDMainsPresent}},
		{[]string{IDMainsOff}, mains},
		{[]string{IDMainsOn}, mains},
		{[]string{IDMainsBack}, mains},
		{[]string{IDPath}, []string{IDPath}},
		{[]string{"supply/standby-1"}, []string{IDVoltmeter, IDMainsOff, "supply/standby-1", IDMainsOn, IDMainsBack}},
		{[]string{"supply/standby-3"}, []string{IDVoltmeter, IDMainsOff, "supply/standby-3", IDMainsOn, IDMainsBack}},
		{[]string{"supply/proof-3.1"}, []string{IDVoltmeter, IDMainsOff, "supply/proof-3.1", IDMainsOn, IDMainsBack}},
		{[]string{IDAlarmLoad}, []string{IDVoltmeter, IDMainsOff, IDAlarmLoad, IDMainsOn, IDMainsBack}},
		{[]string{IDStandbyCurrent}, []string{IDVoltmeter, IDMainsOff, IDStandbyCurrent, IDMainsOn, IDMainsBack}},
		{[]string{IDAlarmCurrent}, []string{IDVoltmeter, IDMainsOff, IDAlarmCurrent, IDMainsOn, IDMainsBack}},
		{[]string{IDFarVoltage}, []string{IDVoltmeter, IDMainsOff, IDFarVoltage, IDMainsOn, IDMainsBack}},
		{[]string{IDCharging}, []string{IDVoltmeter, IDCharged, IDMainsOff, "supply/standby-1", IDMainsOn,
			IDMainsBack, IDCharging}},
		{[]string{IDBatteryOff}, []string{IDBatteryOff, IDBatteryOn}},
		{[]string{IDBatteryOn}, []string{IDBatteryOff, IDBatteryOn}},
		{[]string{IDBatteryFault}, []string{IDBatteryOff, IDBatteryOn, IDBatteryFault}},
		{[]string{IDMainsFault}, append(slices.Clone(mains), IDMainsFault)},
		{[]string{IDRestart}, []string{IDRestart}},
		{[]string{IDRestart, IDPath}, []string{IDPath, IDRestart}},
		{[]string{IDRestart, "supply/standby-4", "supply/standby-2"}, []string{IDVoltmeter, IDMainsOff,
			"supply/standby-2", "supply/standby-4", IDMainsOn, IDMainsBack, IDRestart}},
		{[]string{"walk/1.1"}, nil},
		{nil, nil},
	} {
		got := slices.DeleteFunc(OfRetest(s, Checklist{}, Of(s, Checklist{}), named(tc.again)),
			func(st Step) bool { return !strings.HasPrefix(st.ID, "supply/") })
		assert.Equal(t, tc.steps, ids(got), "%s", tc.again)
	}
}

// The table has a row for each step that a supply may have: none leans on what nobody
// has thought about.
func TestEachStepOfTheSupplyHasARow(t *testing.T) {
	unknown := Step{ID: "supply/unheard-of", Stage: StageSupply}
	assert.Equal(t, []string{IDVoltmeter, IDMainsOff}, supports(unknown), "rather too much than too little")
	assert.Nil(t, supports(Step{ID: "walk/1.1", Stage: StageSupply}))
	s := read(t, whole)
	for _, st := range slices.Concat(supplySteps(s), chargingSteps(s), faultSteps(s)) {
		rows := 0
		for _, row := range leansOn {
			if prefix := row.step; prefix == st.ID ||
				prefix[len(prefix)-1] == '*' && len(st.ID) >= len(prefix) && st.ID[:len(prefix)-1] == prefix[:len(prefix)-1] {
				rows++
			}
		}
		assert.NotZero(t, rows, st.ID)
	}
}

// Whoever asks why a step is taken again is told which step needs it.
func TestWhatAStepIsNeededFor(t *testing.T) {
	steps := Of(read(t, whole), Checklist{})
	assert.Equal(t, map[string][]string{
		IDVoltmeter: {IDAlarmLoad}, IDMainsOff: {IDAlarmLoad}, IDMainsOn: {IDAlarmLoad}, IDMainsBack: {IDAlarmLoad},
	}, NeededFor(steps, named([]string{IDAlarmLoad, "walk/1.1"})))
	assert.Equal(t, []string{IDMainsPresent, "supply/standby-2"},
		NeededFor(steps, named([]string{"supply/standby-2", IDMainsPresent}))[IDVoltmeter])
	assert.Empty(t, NeededFor(steps, named([]string{IDRestart, "supply/standby-9"})))
	assert.Empty(t, NeededFor(Of(read(t, bare), list), named([]string{IDMainsOff})), "what the site has not")
}

// A retest takes what was not concluded well. Of the checklists: that again, what each
// attendance needs, and what the earlier visit did not have.
func TestTheStepsOfARetest(t *testing.T) {
	s := read(t, whole)
	earlier := Of(s, Checklist{Inspection: []Item{{ID: "all"}, {ID: "loose", Text: "covers are fixed"}, {ID: "well"},
		{ID: "on-test"}}, HandOver: []Item{{ID: "keys"}, {ID: "end"}, {ID: "off-test"}}})
	ours := Checklist{Inspection: []Item{{ID: "on-test"}, {ID: "all"}, {ID: "new"}, {ID: "s", For: "battery"}},
		HandOver: []Item{{ID: "end"}, {ID: "off-test"}}}
	checks := []string{"inspection/on-test", "inspection/new", "inspection/s"}
	end := []string{"hand-over/off-test", "sign-off/technician", "sign-off/customer"}
	for name, tc := range map[string]struct {
		again []string
		steps [][]string
	}{
		"all was well": {nil, [][]string{checks, end}},
		"detectors and an output": {[]string{"walk/3.1", "walk/1.2", "outputs/Gong"}, [][]string{checks,
			{"walk/1.2", "walk/3.1", "outputs/Gong"}, end}},
		"a chime":                     {[]string{"outputs/Chime/zone-2"}, [][]string{checks, {"outputs/Chime/zone-2"}, end}},
		"an item of the earlier list": {[]string{"inspection/loose"}, [][]string{{"inspection/loose"}, checks, end}},
		"two of the list's own": {[]string{"inspection/all", "hand-over/end"}, [][]string{{"inspection/on-test",
			"inspection/all", "inspection/new", "inspection/s", "hand-over/end"}, end}},
		"what each attendance needs": {[]string{"inspection/on-test"}, [][]string{checks, end}},
		"of what was handed over": {[]string{"hand-over/keys", "walk/1.1"}, [][]string{checks, {"walk/1.1",
			"hand-over/keys"}, end}},
		"a step that is not there": {[]string{"walk/9.9"}, [][]string{checks, end}},
	} {
		assert.Equal(t, slices.Concat(tc.steps...), ids(OfRetest(s, ours, earlier, named(tc.again))), name)
	}
	got := step(t, OfRetest(s, ours, earlier, map[string]bool{"inspection/loose": true}), "inspection/loose")
	assert.Equal(t, "covers are fixed", got.Text)
}

// What each attendance needs are items that we have words for.
func TestWhatEachAttendanceNeeds(t *testing.T) {
	retest, err := ReadChecklist(BuiltInChecklist(Retest))
	assert.NoError(t, err)
	var taken []ItemCode
	for _, i := range append(retest.Inspection, retest.HandOver...) {
		if everyTime[i.ID] {
			taken = append(taken, i.ID)
		}
	}
	assert.Equal(t, []ItemCode{"on-test", "on-test-from", "people-told", "repaired", "repairs-told", "log-book", "normal",
		"off-test"},
		taken)
	assert.Len(t, everyTime, len(taken))
}

// A step leans on what its own row says, and on that of no name that begins alike.
func TestRowsOfTheSupply(t *testing.T) {
	in := func(id string) Step { return Step{ID: id, Stage: StageSupply} }
	assert.Equal(t, []string{IDMainsOff}, supports(in("supply/proof-1.1")))
	assert.Equal(t, []string{IDMainsOff}, supports(in(IDStandbyCurrent)), "it is no standby-1")
	assert.Nil(t, supports(in(IDVoltmeter)))
	assert.Equal(t, []string{IDVoltmeter, IDMainsOff}, supports(in(IDVoltmeter+"-2")))
	alone := []Step{in(IDAlarmLoad)}
	assert.Empty(t, NeededFor(alone, named([]string{IDAlarmLoad})), "what is not there")
	assert.NotContains(t, NeededFor(Of(read(t, whole), list), named([]string{IDMainsOff})), IDMainsOff,
		"no step is needed for itself")
}

// What an earlier visit had and the site has no more is not taken; nor what it did not
// have, unless it is a line of the checklist.
func TestARetestOfAnotherSite(t *testing.T) {
	s := read(t, bare)
	earlier := Of(read(t, whole), list)
	assert.Equal(t, []string{"sign-off/technician", "sign-off/customer"},
		ids(OfRetest(s, list, earlier, named([]string{"walk/1.1", "outputs/Gong"}))))
}
