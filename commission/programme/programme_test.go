package programme

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/site"
)

const whole = `
reference: P-1
premises: {name: Glaze store, address: 3 Clay Lane}
installer: {company: Bellbird}
monitoring: {centre: Northmoor}
controller: {description: controller}
supply: {adapter: {rating: 2 A, voltage: 13.8 V}, battery: {chemistry: lead-acid, capacity: 7 Ah}, hold: 100 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door, Hatch]}
  - number: 2
    name: Hall
    kind: motion
    wiring: normally closed
    address: z2
    detectors:
      - {name: PIR, powered: {current: 15 mA, minimum: 9.5 V, cable_length: 18 m, conductor: 22 AWG}}
      - {name: Second PIR, powered: {current: 15 mA, minimum: 9.5 V, cable_length: 18 m, conductor: 22 AWG}}
  - number: 3
    name: Shelf
    kind: glass-break
    wiring: normally closed
    address: z3
    detectors:
      - {name: Pane, powered: {current: 15 mA, minimum: 9.5 V, cable_length: 18 m, conductor: 22 AWG}}
outputs:
  - {name: Sounder, kind: sounder, address: s}
  - {name: Chime, kind: chime, follows: [1, 2]}
  - {name: Gong, kind: chime}
  - {name: Flash, kind: strobe}
`

const bare = `
reference: P-2
premises: {name: Shed, address: 4 Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 4, name: Door, kind: door, wiring: normally closed, address: z4, detectors: [Door]}
`

var list = Checklist{
	Inspection: []Item{{ID: "all"}, {ID: "m", For: "monitored"}, {ID: "p", For: "powered"}, {ID: "b", For: "battery"},
		{ID: "s", Text: "loud", For: "sounder"}},
	HandOver: []Item{{ID: "end"}},
}

func read(t *testing.T, text string) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	return s
}

func ids(steps []Step) (all []string) {
	for _, s := range steps {
		all = append(all, s.ID)
	}
	return all
}

func step(t *testing.T, steps []Step, id string) Step {
	t.Helper()
	for _, s := range steps {
		if s.ID == id {
			return s
		}
	}
	require.Fail(t, "no step "+id)
	return Step{}
}

// Every detector once; on standby one of each powered kind; every output, a chime for
// each door that it follows; names last.
func TestTheStepsOfAVisit(t *testing.T) {
	assert.Equal(t, []string{
		"inspection/all", "inspection/m", "inspection/p", "inspection/b", "inspection/s",
		"walk/1.1", "walk/1.2", "walk/2.1", "walk/2.2", "walk/3.1",
		"supply/voltmeter", "supply/charged", "supply/mains-present", "supply/battery-off",
		"supply/battery-on", "supply/mains-off", "supply/path", "supply/standby-1", "supply/proof-2.1", "supply/proof-3.1",
		"supply/standby-2", "supply/standby-3", "supply/standby-4", "supply/standby-current",
		"supply/alarm-load", "supply/alarm-current", "supply/far-voltage", "supply/mains-on",
		"supply/mains-back", "supply/cold-restart",
		"outputs/Sounder", "outputs/Chime/zone-1", "outputs/Chime/zone-2", "outputs/Gong", "outputs/Flash",
		"alarm/setting", "alarm/entry", "alarm/intrusion", "alarm/path-1",
		"hand-over/end", "supply/charging", "supply/mains-fault", "supply/battery-fault", "sign-off/technician",
		"sign-off/customer",
	}, ids(Of(read(t, whole), list)))
	assert.Equal(t, []string{
		"inspection/all", "walk/4.1", "supply/voltmeter", "supply/mains-present", "hand-over/end",
		"sign-off/technician", "sign-off/customer",
	}, ids(Of(read(t, bare), list)), "no battery, no power, no outputs, not monitored")
}

func TestWhatStandsInSteps(t *testing.T) {
	steps := Of(read(t, whole), list)
	for _, want := range []Step{
		{ID: "inspection/s", Stage: StageInspection, Kind: StepCheck, Item: "s", Text: "loud"},
		{ID: "walk/1.2", Stage: StageWalkTest, Kind: StepDetector, Point: "1.2", Zone: 1},
		{ID: "supply/standby-1", Stage: StageSupply, Kind: StepReading},
		{ID: "supply/standby-2", Stage: StageSupply, Kind: StepReading, AfterSeconds: 10},
		{ID: "supply/standby-4", Stage: StageSupply, Kind: StepReading, AfterSeconds: 100},
		{ID: "supply/proof-2.1", Stage: StageSupply, Kind: StepDetector, Point: "2.1", Zone: 2},
		{ID: "supply/alarm-load", Stage: StageSupply, Kind: StepReading, Load: true},
		{ID: "supply/charged", Stage: StageSupply, Kind: StepCharged},
		{ID: "supply/standby-current", Stage: StageSupply, Kind: StepReading, Optional: true},
		{ID: "supply/alarm-current", Stage: StageSupply, Kind: StepReading, Load: true, Optional: true},
		{ID: "supply/far-voltage", Stage: StageSupply, Kind: StepReading, Load: true, Optional: true, Point: "2.1"},
		{ID: "supply/charging", Stage: StageHandOver, Kind: StepReading, AfterSeconds: 600},
		{ID: "supply/battery-off", Stage: StageSupply, Kind: StepAct},
		{ID: "supply/mains-fault", Stage: StageHandOver, Kind: StepFault},
		{ID: "supply/cold-restart", Stage: StageSupply, Kind: StepRestart, Optional: true},
		{ID: "outputs/Chime/zone-2", Stage: StageOutputs, Kind: StepChime, Output: "Chime", Zone: 2, Point: "2.1"},
		{ID: "outputs/Gong", Stage: StageOutputs, Kind: StepOutput, Output: "Gong"},
		{ID: "hand-over/end", Stage: StageHandOver, Kind: StepCheck, Item: "end"},
		{ID: "sign-off/customer", Stage: StageSignOff, Kind: StepSign, Role: Customer},
	} {
		assert.Equal(t, want, step(t, steps, want.ID))
	}
	assert.Equal(t, 2500*time.Millisecond, Step{AfterSeconds: 2.5}.After())
}

// Where nothing is powered, the first detector proves that the controller reports on
// standby; where nothing sounds, there is no reading under load.
func TestStandbyWithoutPoweredDetectors(t *testing.T) {
	s := read(t, bare)
	s.Supply.Battery.Chemistry = "lead-acid"
	s.Supply.Readings = []time.Duration{0}
	assert.Equal(t, []string{"supply/voltmeter", "supply/charged", "supply/mains-present",
		"supply/battery-off", "supply/battery-on", "supply/mains-off", "supply/path", "supply/standby-1", "supply/proof-4.1",
		"supply/standby-current",
		"supply/mains-on", "supply/mains-back", "supply/cold-restart"}, ids(supplySteps(s)))
	s.Outputs = []site.Output{{Name: "Flash", Kind: site.Strobe}}
	assert.Equal(t, []string{"supply/standby-current", "supply/alarm-load", "supply/alarm-current"}, ids(loadSteps(s)),
		"a strobe loads it too; no detector takes power")
}

// What is read as a current, and what as a voltage.
func TestOfCurrent(t *testing.T) {
	var current []string
	for _, s := range Of(read(t, whole), list) {
		if s.OfCurrent() {
			current = append(current, s.ID)
		}
	}
	assert.Equal(t, []string{"supply/standby-current", "supply/alarm-current"}, current)
}

// Which steps mean nothing unless mains is removed.
func TestOnStandby(t *testing.T) {
	var standby []string
	for _, s := range Of(read(t, whole), list) {
		if s.OnStandby() {
			standby = append(standby, s.ID)
		}
	}
	assert.Equal(t, []string{"supply/standby-1", "supply/proof-2.1", "supply/proof-3.1", "supply/standby-2",
		"supply/standby-3", "supply/standby-4", "supply/standby-current", "supply/alarm-load", "supply/alarm-current",
		"supply/far-voltage"}, standby)
}

func TestNamesOfSteps(t *testing.T) {
	s := read(t, whole)
	steps := Of(s, list)
	hall := ZoneName{2, "Hall"}
	for id, want := range map[string]Name{
		"walk/2.2": {Kind: StepDetector, ID: "walk/2.2", Stage: StageWalkTest,
			Detector: &DetectorName{"2.2", "Second PIR", hall, false}},
		"supply/proof-2.1": {Kind: StepDetector, ID: "supply/proof-2.1", Stage: StageSupply,
			Detector: &DetectorName{"2.1", "PIR", hall, true}},
		"supply/far-voltage": {Kind: StepReading, ID: "supply/far-voltage", Stage: StageSupply,
			Detector: &DetectorName{"2.1", "PIR", hall, false}},
		"outputs/Chime/zone-2": {Kind: StepChime, ID: "outputs/Chime/zone-2", Stage: StageOutputs, Zone: &hall,
			Output: "Chime"},
		"supply/standby-2": {Kind: StepReading, ID: "supply/standby-2", Stage: StageSupply,
			After: 10 * time.Second},
		"inspection/s":        {Kind: StepCheck, ID: "inspection/s", Stage: StageInspection, Item: "s", Text: "loud"},
		"sign-off/technician": {Kind: StepSign, ID: "sign-off/technician", Stage: StageSignOff, Role: Technician},
	} {
		assert.Equal(t, want, NameOf(s, step(t, steps, id)))
		assert.Equal(t, "step/"+string(want.Kind), want.Code())
	}
	assert.Nil(t, NameOf(s, Step{Kind: StepDetector, Point: "9.9"}).Detector)
	assert.Nil(t, NameOf(s, Step{Kind: StepChime, Zone: 9}).Zone)
	assert.Nil(t, NameOf(s, Step{Kind: StepSign, Zone: 2}).Zone)
}

// Errors of one kind: a file that is no YAML, and an item of our own with a sentence.
func TestMoreOfChecklists(t *testing.T) {
	_, err := ReadChecklist("c.yaml", []byte("inspection: {"))
	assert.ErrorContains(t, err, "c.yaml:1")
	assert.ErrorContains(t, err, "inspection: {", "it is no secret")
	own, err := ReadChecklist("c.yaml", []byte("inspection:\n  - {id: on-test}\n"+
		"  - {id: kiln, text: cold, for: powered}\nhandover:\n  - {id: off-test, text: in our words}\n"))
	require.NoError(t, err)
	assert.Equal(t, []Item{{ID: "on-test", Value: TextValue}, {ID: "kiln", Text: "cold", For: "powered"}}, own.Inspection,
		"our sentence asks for a value")
	assert.Equal(t, []Item{{ID: "off-test", Text: "in our words"}}, own.HandOver)
	_, err = ReadChecklist("c.yaml",
		[]byte("inspection:\n  - {id: a b, text: x}\nhandover:\n  - {id: c*, text: x}\n  - {id: kiln}\n  - {text: x}\n"))
	for _, says := range []string{`c.yaml:2:10: id "a b"`, `c.yaml:4:10: id "c*"`, `c.yaml:5:5: item has no "text"`,
		`c.yaml:6:5: item has no "id"`} {
		assert.ErrorContains(t, err, says)
	}
	asked, err := ReadChecklist("c.yaml", []byte("inspection:\n  - {id: on-test, text: called the centre}\n"+
		"  - {id: on-test-from, value: date, optional: yes}\n  - {id: earlier-records}\n  - {id: mains, optional: no}\n"))
	require.NoError(t, err)
	assert.Equal(t, []Item{{ID: "on-test", Text: "called the centre"},
		{ID: "on-test-from", Value: DateValue, Optional: true}, {ID: "earlier-records", Value: TextValue, Optional: true},
		{ID: "mains"}}, asked.Inspection, "a sentence of theirs asks for no more than it says")
	assert.True(t, Items()["on-test"])
	assert.False(t, Items()["kiln"])
}

// A company's own lists of what is looked at take the place of ours, kind by kind; a kind
// without lines has none, and one that is not named keeps ours.
func TestOwnLooks(t *testing.T) {
	s := read(t, whole)
	own, err := ReadChecklist("c.yaml", []byte("inspection: [{id: mains}]\ndetectors:\n"+
		"  door: [{id: hinge, text: oiled, value: text, optional: yes}]\n  glass-break: []\n"))
	require.NoError(t, err)
	assert.Equal(t, []Item{{ID: "hinge", Text: "oiled", Value: TextValue, Optional: true}}, own.Looks["door"])
	assert.Empty(t, own.Looks["glass-break"])
	assert.NotEmpty(t, own.Looks["motion"])
	var looks []Step
	lastDetector := 0
	for i, st := range Of(s, own) {
		switch {
		case st.Look():
			looks = append(looks, st)
			assert.Greater(t, i, lastDetector)
			assert.NotEqual(t, site.DetectorKind("glass-break"), KindAt(s, st.Point))
			assert.True(t, CouldBeLook(st), st.ID)
		case st.Kind == StepDetector && st.Stage == StageWalkTest:
			lastDetector = i
			assert.Empty(t, looks, "behind all detectors")
		}
	}
	assert.NotEmpty(t, looks)
	for text, says := range map[string]string{
		"detectors: {doors: []}": `unknown key "doors"`, "detectors: {door: [{id: x}]}": `has no "text"`,
		"detectors: {door: [{id: gap}, {id: gap}]}":     `"gap" stands twice`,
		"inspection: [{id: a, text: b, value: colour}]": "no kind of value",
		"inspection: [{id: a, text: b, optional: yes}]": "beside a value",
	} {
		_, err := ReadChecklist("c.yaml", []byte(text))
		assert.ErrorContains(t, err, says)
	}
}

// A detector that is taken again is looked at again, and so is what was found not to be so;
// no other is.
func TestLooksOfARetest(t *testing.T) {
	s := read(t, whole)
	list, err := ReadChecklist(BuiltInChecklist(Handover))
	require.NoError(t, err)
	all := Of(s, list)
	looks := func(again string) (ids []string) {
		for _, st := range OfRetest(s, list, all, map[string]bool{again: true}) {
			if st.Look() {
				ids = append(ids, st.ID)
			}
		}
		return ids
	}
	assert.Equal(t, []string{"walk/1.2/gap", "walk/1.2/play"}, looks("walk/1.2"))
	assert.Equal(t, []string{"walk/1.2/play"}, looks("walk/1.2/play"))
	assert.Empty(t, looks(IDMainsPresent))
}

// What nobody would take for a value is none: a point or a dash is typed to get past a question.
func TestWhatIsAValue(t *testing.T) {
	for text, is := range map[string]bool{"NRC-0417": true, "7": true, "無": true, "": false, " ": false, ".": false, "-": false,
		"?!": false} {
		assert.Equal(t, is, TextValue.Check(text) == nil, "%q", text)
	}
}

// A time is one of the day and a day one of the calendar: 2027 is no leap year.
func TestTimesAndDaysAsValues(t *testing.T) {
	for _, tc := range []struct {
		kind ValueKind
		text string
		says string
	}{
		{TimeValue, "14:05", ""}, {TimeValue, "00:00", ""}, {TimeValue, "24:00", "no time of the day"},
		{TimeValue, "2027-03-01", "no time of the day"}, {TimeValue, "", "no time of the day"},
		{DateValue, "2027-03-01", ""}, {DateValue, "2028-02-29", ""}, {DateValue, "2027-02-29", "no day"},
		{DateValue, "14:05", "no day"}, {DateValue, "", "no day"},
		{TextValue, "", "left out"}, {"", "x", "nothing is typed"}, {"colour", "red", "nothing is typed"},
	} {
		if err := tc.kind.Check(tc.text); tc.says == "" {
			assert.NoError(t, err, tc.text)
		} else {
			assert.ErrorContains(t, err, tc.says, tc.text)
		}
	}
}
