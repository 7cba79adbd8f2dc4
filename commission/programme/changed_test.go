package programme

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
)

// What a change of the site file affects: that of one zone its detectors wherever they are
// operated, that of the supply what is read and done at it; what is only printed, nothing.
func TestWhatAChangeOfTheSiteAffects(t *testing.T) {
	hall := []string{"walk/2.1", "walk/2.2", "supply/proof-2.1", "outputs/Chime/zone-2"}
	door := []string{"walk/1.1", "walk/1.2", "outputs/Chime/zone-1"}
	detectors := []string{"walk/1.1", "walk/1.2", "walk/2.1", "walk/2.2", "walk/3.1", "supply/proof-2.1",
		"supply/proof-3.1", "outputs/Chime/zone-1", "outputs/Chime/zone-2"}
	readings := []string{IDMainsPresent, "supply/standby-1", "supply/standby-2", "supply/standby-3",
		"supply/standby-4", IDStandbyCurrent, IDAlarmLoad, IDAlarmCurrent, IDFarVoltage, IDMainsBack, IDCharging}
	load := slices.Clip([]string{IDAlarmLoad, IDAlarmCurrent, IDFarVoltage})
	supply := slices.Concat(readings,
		[]string{IDCharged, IDBatteryOff, IDBatteryOn, IDMainsFault, IDBatteryFault, IDMainsOff, "supply/proof-2.1",
			"supply/proof-3.1", IDMainsOn, IDRestart})
	limits := func(l string) [2]string { return [2]string{"zones:", "limits: {" + l + "}\nzones:"} }
	for name, tc := range map[string]struct {
		change  [2]string
		affects []string
	}{
		"nothing":    {[2]string{"", ""}, nil},
		"a remark":   {[2]string{"zones:", "# as built\nzones:"}, nil},
		"an address": {[2]string{"address: z2", "address: z7"}, hall},
		"a kind":     {[2]string{"kind: door", "kind: window"}, door},
		"a wiring": {[2]string{"number: 1, name: Door, kind: door, wiring: normally closed",
			"number: 1, name: Door, kind: door, wiring: one resistor, end_of_line: 4k7"}, door},
		"a zone's name":       {[2]string{"name: Hall", "name: Passage"}, hall},
		"a zone's area":       {[2]string{"name: Hall", "name: Hall\n    area: ground floor"}, nil},
		"a detector's name":   {[2]string{"detectors: [Door, Hatch]", "detectors: [Door, Flap]"}, []string{"walk/1.2"}},
		"detectors exchanged": {[2]string{"detectors: [Door, Hatch]", "detectors: [Hatch, Door]"}, door},
		"where a detector is": {[2]string{"{name: Second PIR,", "{name: Second PIR, location: far end,"}, nil},
		"a detector's current": {[2]string{"{name: Second PIR, powered: {current: 15 mA",
			"{name: Second PIR, powered: {current: 16 mA"}, []string{"walk/2.2"}},
		"a battery":            {[2]string{"capacity: 7 Ah", "capacity: 17 Ah"}, supply},
		"an adapter":           {[2]string{"rating: 2 A", "rating: 1 A"}, supply},
		"where the battery is": {[2]string{"capacity: 7 Ah", "capacity: 7 Ah, location: loft"}, nil},
		"where the adapter is": {[2]string{"rating: 2 A", "rating: 2 A, location: loft"}, nil},
		"a sounder": {[2]string{"{name: Sounder, kind: sounder", "{name: Sounder, current: 1 A, kind: sounder"},
			append(load, "outputs/Sounder", IDAlarmIntrusion)},
		"where the sounder is": {[2]string{"{name: Sounder,", "{name: Sounder, location: yard,"}, nil},
		"a strobe": {[2]string{"{name: Flash, kind: strobe}", "{name: Flash, kind: strobe, address: f}"},
			append(load, "outputs/Flash", IDAlarmIntrusion)},
		"a chime": {[2]string{"{name: Chime,", "{name: Chime, address: c,"},
			[]string{"outputs/Chime/zone-1", "outputs/Chime/zone-2"}},
		"the response":         {limits("response: 3 s"), detectors},
		"listening":            {limits("listen_for: 30 s"), detectors},
		"steadiness":           {limits("steady: 2 s"), detectors},
		"restoring a door":     {limits("restore: {door: 9 s}"), door},
		"mains, at least":      {limits("mains_lower: 13 V"), readings},
		"mains, at most":       {limits("mains_upper: 14 V"), readings},
		"standby":              {limits("standby_lower: 12 V"), readings},
		"alarm load":           {limits("alarm_load_lower: 11 V"), readings},
		"a restart":            {limits("cold_restart: 60 s"), []string{IDRestart}},
		"a margin":             {limits("margin: 20 dB"), []string{"outputs/Sounder"}},
		"a fault of mains":     {limits("mains_fault: 60 s"), []string{IDMainsFault}},
		"a fault of a battery": {limits("battery_fault: 60 s"), []string{IDBatteryFault}},
		"listening for a door": {limits("listen_for: {door: 30 s}"), door},
		"a farther detector": {[2]string{"{name: Pane, powered: {current: 15 mA, minimum: 9.5 V, cable_length: 18 m",
			"{name: Pane, powered: {current: 15 mA, minimum: 9.5 V, cable_length: 17 m"},
			[]string{"walk/3.1", "supply/proof-3.1"}},
		"the farthest itself": {[2]string{"{name: PIR, powered: {current: 15 mA", "{name: PIR, powered: {current: 16 mA"},
			[]string{"walk/2.1", "supply/proof-2.1", "outputs/Chime/zone-2", IDFarVoltage}},
		"the centre": {[2]string{"Northmoor", "Southmoor"}, nil},
	} {
		changed := strings.Replace(whole, tc.change[0], tc.change[1], 1)
		if tc.change[0] != "" {
			require.NotEqual(t, whole, changed, name)
		}
		before, after := read(t, whole), read(t, changed)
		var affects []string
		for _, st := range Of(before, list) {
			if Affected(before, after, st) {
				affects = append(affects, st.ID)
			}
			assert.Equal(t, Affected(before, after, st), Affected(after, before, st), "%s %s", name, st.ID)
		}
		assert.ElementsMatch(t, tc.affects, affects, name)
	}
}

// A declared limit is another one by its value, an equal one by its having been declared.
func TestWhichLimitsDiffer(t *testing.T) {
	steady := func(l site.Limits) []site.Limit { return []site.Limit{l.Steady} }
	with := func(l site.Limit) *site.Site { return &site.Site{Limits: site.Limits{Steady: l}} }
	ours, declared := site.Limit{SI: 2, By: site.CommonPractice}, site.Limit{SI: 2, By: site.SiteFile}
	assert.False(t, limitsDiffer(with(declared), with(site.Limit{SI: 2, By: site.Named}), steady))
	assert.True(t, limitsDiffer(with(declared), with(site.Limit{SI: 3, By: site.SiteFile}), steady))
	assert.True(t, limitsDiffer(with(declared), with(ours), steady))
}

// A step that only one of the sites has is affected.
func TestWhatOnlyOneSiteHas(t *testing.T) {
	before := read(t, whole)
	after := read(t, strings.Replace(whole, "{name: Flash, kind: strobe}", "{name: Lamp, kind: strobe}", 1))
	assert.True(t, Affected(before, after, Step{Kind: StepOutput, Output: "Flash"}))
	assert.True(t, Affected(before, after, Step{Kind: StepOutput, Output: "Lamp"}))
	assert.False(t, Affected(before, after, Step{Kind: StepOutput, Output: "Siren"}))
	one := read(t, bare)
	assert.True(t, Affected(before, one, Step{Kind: StepDetector, Stage: StageWalkTest, Point: "1.1", Zone: 1}))
	assert.True(t, Affected(one, before, Step{Kind: StepDetector, Stage: StageWalkTest, Point: "1.1", Zone: 1}))
	assert.False(t, Affected(one, one, Step{Kind: StepDetector, Stage: StageWalkTest, Point: "1.1", Zone: 1}))
	path := func(s string) *site.Site {
		return read(t, strings.Replace(whole, "{centre: Northmoor}", "{centre: Northmoor, paths: ["+s+"]}", 1))
	}
	lan, receipt := path("{name: lan, within: 30 s}"), Step{Kind: StepReceipt, Path: "lan"}
	for _, other := range []string{"{name: lan, within: 60 s}", "{name: radio, within: 30 s}",
		"{name: lan, within: 30 s}, {name: radio}"} {
		assert.True(t, Affected(lan, path(other), receipt), other)
	}
	assert.False(t, Affected(lan, lan, receipt))
	zone := &site.Site{Zones: []site.Zone{{Number: 1}}}
	assert.True(t, zoneDiffers(zone, &site.Site{}, 1))
}

// After a change of the site file, the lines of the checklists stay as they were asked,
// new ones come, and the other steps are those of the site as it is.
func TestARevisedProgramme(t *testing.T) {
	had := Of(read(t, whole), Checklist{Inspection: []Item{{ID: "own", Text: "kiln cold"}, {ID: "s", Text: "very loud"}},
		HandOver: []Item{{ID: "keys"}}})
	now := read(t, strings.Replace(whole, "detectors: [Door, Hatch]", "detectors: [Door]", 1))
	revised := Revised(read(t, whole), now, had, Of(now, list))
	assert.Equal(t, []string{"inspection/own", "inspection/all", "inspection/m", "inspection/p", "inspection/b",
		"inspection/s", "walk/1.1", "walk/2.1"}, ids(revised)[:8])
	assert.Equal(t, "very loud", step(t, revised, "inspection/s").Text)
	assert.Equal(t, []string{"hand-over/end", IDCharging, IDMainsFault, IDBatteryFault, IDTechnician, IDCustomer},
		ids(revised)[len(revised)-6:])
	assert.NotContains(t, ids(revised), "walk/1.2")
	shorter := step(t, Revised(now, now, had,
		Of(read(t, strings.Replace(whole, "hold: 100 s", "hold: 60 s", 1)), list)),
		"supply/standby-4")
	assert.Equal(t, 60.0, shorter.AfterSeconds, "other steps are as the site gives them")
	first := Revised(now, now, []Step{{ID: "inspection/all", Stage: StageInspection, Kind: StepCheck, Item: "all",
		Text: "typed"}},
		Of(now, list))
	assert.Equal(t, "typed", first[0].Text)
}
