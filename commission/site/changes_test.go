package site

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const changesSite = `reference: B-1
premises: {name: Bell Kiln, address: 1 Yard}
installer: {company: Bellbird}
controller: {description: eight zones, location: hall}
zones:
  - {number: 1, name: Front door, address: z1, kind: door, wiring: normally closed, detectors: [{name: Leaf}]}
  - number: 2
    name: Glaze room
    kind: window
    address: z2
    wiring: one resistor
    end_of_line: 2.2 kohm
    detectors: [{name: North}, {name: South}, {name: East}]
outputs:
  - {name: Bell, kind: sounder, current: 300 mA}
supply:
  adapter: {rating: 1 A, voltage: 13.8 V}
  battery: {chemistry: lead-acid, capacity: 7 Ah, fitted: 2024-03-01}
limits: {response: 2 s}
`

// Each thing that may change at premises, alone, by its code and what it is about.
func TestEachChangeOfASiteIsTold(t *testing.T) {
	before, err := Read("site.yaml", []byte(changesSite))
	require.NoError(t, err)
	for name, c := range map[string]struct {
		from, to string
		want     []Change
	}{
		"nothing":     {"zones:", "zones:", nil},
		"where it is": {"location: hall", "location: cellar", nil},
		"another company": {"company: Bellbird", "company: Marlpit",
			[]Change{{What: CompanyChanged, Key: "installer.company", Before: "Bellbird", Now: "Marlpit"}}},
		"a zone renamed": {"name: Glaze room", "name: Store",
			[]Change{{What: ZoneRenamed, Zone: 2, Name: "Store", Before: "Glaze room", Now: "Store"}}},
		"its resistor": {"2.2 kohm", "4.7 kohm", []Change{{What: ZoneWired, Zone: 2, Name: "Glaze room",
			Key: "end_of_line", Before: "2.2 kohm", Now: "4.7 kohm"}}},
		"a zone with another number": {"number: 1,", "number: 3,", []Change{
			{What: ZoneAdded, Zone: 3, Name: "Front door"}, {What: DetectorAdded, Zone: 3, Point: "3.1", Name: "Leaf"},
			{What: ZoneRemoved, Zone: 1, Name: "Front door"}, {What: DetectorRemoved, Zone: 1, Point: "1.1", Name: "Leaf"}}},
		"a detector added": {"{name: East}", "{name: East}, {name: " +
			"West}", []Change{{What: DetectorAdded, Zone: 2, Point: "2.4", Name: "West"}}},
		"the last one removed": {", {name: East}", "", []Change{{What: DetectorRemoved, Zone: 2, Point: "2.3",
			Name: "East"}}},
		"one renamed": {"name: South", "name: Skylight",
			[]Change{{What: DetectorRenamed, Zone: 2, Point: "2.2", Name: "Skylight", Before: "South", Now: "Skylight"}}},
		"the first removed: the others move": {"{name: North}, ", "", []Change{
			{What: DetectorMoved, Zone: 2, Point: "2.1", Name: "South", Before: "2.2", Now: "2.1"},
			{What: DetectorMoved, Zone: 2, Point: "2.2", Name: "East", Before: "2.3", Now: "2.2"},
			{What: DetectorRemoved, Zone: 2, Point: "2.1", Name: "North"}}},
		"of another kind": {"{name: South}", "{name: South, kind: glass-break}", []Change{
			{What: DetectorKindOf, Zone: 2, Point: "2.2", Name: "South", Before: "window", Now: "glass-break"}}},
		"an output added": {"outputs:\n", "outputs:\n  - {name: Lamp, kind: strobe, current: 100 mA}\n",
			[]Change{{What: OutputAdded, Name: "Lamp", Now: "strobe"}}},
		"an output renamed": {"name: Bell,", "name: Horn,", []Change{
			{What: OutputAdded, Name: "Horn", Now: "sounder"}, {What: OutputRemoved, Name: "Bell", Before: "sounder"}}},
		"what it draws": {"300 mA", "350 mA", []Change{{What: OutputChanged, Name: "Bell", Key: "current",
			Before: "300 mA", Now: "350 mA"}}},
		"a newer battery": {"2024-03-01", "2026-11-20", []Change{{What: BatteryRenewed, Key: "supply.battery.fitted",
			Before: "2024-03-01", Now: "2026-11-20"}}},
		"a larger battery": {"7 Ah", "9 Ah", []Change{{What: BatteryChanged, Key: "supply.battery.capacity", Before: "7 Ah",
			Now: "9 Ah"}}},
		"the adapter": {"1 A", "2 A", []Change{{What: AdapterChanged, Key: "supply.adapter.rating", Before: "1 A",
			Now: "2 A"}}},
		"a limit declared": {"limits: {response: 2 s}", "limits: {response: 2 s, cold_restart: 90 s}", []Change{
			{What: LimitChanged, Key: "limits.cold_restart", Before: "120", Now: "90 s"}}},
	} {
		text := strings.Replace(changesSite, c.from, c.to, 1)
		after, err := Read("site.yaml", []byte(text))
		require.NoError(t, err, name)
		assert.Equal(t, c.want, Changes(before, after), name)
	}
}

// A value that one of two files does not say is no change, whichever of them is the earlier.
func TestWhatIsNotSaidIsNoChange(t *testing.T) {
	whole := strings.NewReplacer("{description: eight zones,", "{description: eight zones, software: v2,",
		"end_of_line: 2.2 kohm", "end_of_line: 2.2 kohm\n    cable: {type: screened, length: 20 m, conductor: 0.22 mm2}",
		"{name: North}", "{name: North, powered: {current: 15 mA, minimum: 9 V, cable_length: 20 m, conductor: 0.22 mm2}}",
		"current: 300 mA", "current: 300 mA, cut_off: 15 min, own_battery: yes",
		"{chemistry: lead-acid,", "{chemistry: lead-acid, form: direct, voltage: 12 V,",
		"limits:", "  charger: {voltage: 13.8 V, current: 500 mA}\n"+
			"  loads: [{name: Radio, current: 20 mA, alarm_current: 20 mA}]\nlimits:").
		Replace(changesSite)
	before, err := Read("site.yaml", []byte(whole))
	require.NoError(t, err)
	for name, c := range map[string][2]string{
		"battery":        {", capacity: 7 Ah, fitted: 2024-03-01", ""},
		"form":           {"form: direct, ", ""},
		"its voltage":    {", voltage: 12 V", ""},
		"adapter":        {"adapter: {rating: 1 A, voltage: 13.8 V}", "adapter: {}"},
		"charger":        {"  charger: {voltage: 13.8 V, current: 500 mA}\n", ""},
		"loads":          {"  loads: [{name: Radio, current: 20 mA, alarm_current: 20 mA}]\n", ""},
		"software":       {", software: v2", ""},
		"wiring":         {"wiring: normally closed", "wiring: not known"},
		"cable":          {"    cable: {type: screened, length: 20 m, conductor: 0.22 mm2}\n", ""},
		"type of cable":  {"type: screened, ", ""},
		"power":          {", powered: {current: 15 mA, minimum: 9 V, cable_length: 20 m, conductor: 0.22 mm2}", ""},
		"minimum":        {", minimum: 9 V", ""},
		"output":         {", current: 300 mA, cut_off: 15 min, own_battery: yes", ""},
		"nothing at all": {"reference: B-1", "reference: B-1"},
	} {
		require.Contains(t, whole, c[0], name)
		after, err := Read("site.yaml", []byte(strings.Replace(whole, c[0], c[1], 1)))
		require.NoError(t, err, name)
		assert.Empty(t, Changes(before, after), name)
		assert.Empty(t, Changes(after, before), name)
	}
	alternating, err := Read("site.yaml", []byte(strings.Replace(whole, "rating: 1 A", "rating: 40 VA", 1)))
	require.NoError(t, err)
	assert.Equal(t, []Change{{What: AdapterChanged, Key: "supply.adapter.rating", Before: "1 A", Now: "40 VA"}},
		Changes(before, alternating), "both say one")
}

// What the later file has that the earlier one had not is what the earlier one lost, read
// the other way.
func TestChangesMirror(t *testing.T) {
	data, err := os.ReadFile(demoSite)
	require.NoError(t, err)
	a, err := Read("site.yaml", data)
	require.NoError(t, err)
	b, err := Read("site.yaml", []byte(changesSite))
	require.NoError(t, err)
	assert.Empty(t, Changes(a, a))
	forth, back := Changes(a, b), Changes(b, a)
	count := func(of []Change, what ChangeCode) (n int) {
		for _, c := range of {
			if c.What == what {
				n++
			}
		}
		return n
	}
	for _, pair := range [][2]ChangeCode{{ZoneAdded, ZoneRemoved}, {DetectorAdded, DetectorRemoved},
		{OutputAdded, OutputRemoved}, {DetectorRenamed, DetectorRenamed}, {LimitChanged, LimitChanged}} {
		assert.Equal(t, count(forth, pair[0]), count(back, pair[1]), pair[0])
		assert.Equal(t, count(forth, pair[1]), count(back, pair[0]), pair[1])
	}
}
