package listen

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen/simulated"
)

// Everything that can be said of a simulated building arrives where it belongs.
func TestAllOfABuildingIsRead(t *testing.T) {
	c, err := Read("controller.yaml", []byte(`listen: simulated
simulated:
  charger: {voltage: 13.65 V, current: 500 mA}
  battery: {chemistry: lithium-ion, cells: 4, capacity: 5 Ah, charge: 60 %, resistance: 0.2 ohm, output: 12.1 V}
  delays: {z12: 12 s}
  outputs:
    Sounder: {silent: yes}
    Strobe: {cut_off: 3 min, silent: no}
  faults:
    - {fault: restarts on battery}
`), demoSite(t))
	require.NoError(t, err)
	assert.Equal(t, simulated.Options{
		Supply: simulated.SupplyOptions{Charge: simulated.Charger{Voltage: 13.65, Current: 0.5},
			Pack: simulated.Battery{Chemistry: "lithium-ion", Cells: 4, Capacity: 5, Charge: 0.6, Resistance: 0.2,
				Output: 12.1}},
		Delays: map[string]time.Duration{"z12": 12 * time.Second},
		Outputs: map[string]simulated.OutputFault{"Sounder": {Silent: true},
			"Strobe": {CutOff: 3 * time.Minute}},
		Faults: []simulated.Fault{{Kind: simulated.Restarts}},
	}, c.Simulated)

	for text, want := range map[string]simulated.SupplyOptions{
		"{charger: dead}":                   {Charger: simulated.Dead},
		"{charger: too high}":               {Charger: simulated.TooHigh},
		"{charger: limited}":                {Charger: simulated.Limited},
		"{charger: good, battery: weak}":    {Charger: simulated.Good, Battery: simulated.Weak},
		"{battery: {charge: 0 %}}":          {Empty: true},
		"{battery: {charge: 100 %}}":        {Pack: simulated.Battery{Charge: 1}},
		"{charger: {voltage: 13.8 V}}":      {Charge: simulated.Charger{Voltage: 13.8}},
		"{battery: {chemistry: lead-acid}}": {Pack: simulated.Battery{Chemistry: "lead-acid"}},
	} {
		c, err := Read("controller.yaml", []byte("listen: simulated\nsimulated: "+text+"\n"), demoSite(t))
		require.NoError(t, err, text)
		assert.Equal(t, want, c.Simulated.Supply, text)
	}
}

// What is wrong with a simulated building, each alone: one problem, with its place.
func TestProblemsOfABuilding(t *testing.T) {
	for text, says := range map[string]string{
		"{charger: flat}":                       "2:22: that state of the charger is not known",
		"{battery: dead}":                       "2:22: that state of the battery is not known",
		"{charger: {volts: 13 V}}":              "2:23: unknown key",
		"{charger: {voltage: 13}}":              "2:32: voltage is not a voltage",
		"{charger: {voltage: 0 V}}":             "2:32: voltage is not above zero",
		"{charger: {current: -1 A}}":            "2:32: current is not a current",
		"{battery: {chemistry: nickel}}":        "2:34: that chemistry is not known",
		"{battery: {cells: 0}}":                 "2:30: cells is no whole number from 1",
		"{battery: {charge: 101 %}}":            "2:31: a battery is never charged above 100 %",
		"{battery: {charge: x}}":                "2:31: charge is not a ratio",
		"{battery: [good]}":                     "2:22: battery must be written as keys and values",
		"{delays: {z99: 12 s}}":                 "2:22: unknown key",
		"{delays: {z12: 12}}":                   "2:27: the delay is not a time",
		"{outputs: {Bell: {silent: yes}}}":      "2:23: unknown key",
		"{outputs: {Sounder: {silent: maybe}}}": "2:41: silent is neither yes nor no",
		"{outputs: {Sounder: {cut_off: 0 s}}}":  "2:42: cut_off is not above zero",
		"{outputs: {Sounder: {loud: yes}}}":     "2:33: unknown key",
		"{faults: [{fault: drops connection, at: \"3.3\"}]}": "2:52: \"drops connection\" is a fault of the controller " +
			"and has no \"at\"",
	} {
		_, err := Read("controller.yaml", []byte("listen: simulated\nsimulated: "+text+"\n"), demoSite(t))
		var p *strictyaml.Problems
		require.ErrorAs(t, err, &p, text)
		assert.Len(t, p.List, 1, text)
		assert.ErrorContains(t, err, "controller.yaml:"+says, text)
	}
}
